/* A new file that appears whole or not at all, and never in the place of another. */
#include "store/inside.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static enum sg_status refuse(const char *path, struct sg_error *error)
{
    return sg_fail(error, SG_NO_WRITE, "%s exists already and was left as it is", path);
}

/* The journal of a file that was moved away would be rolled back into the new one. */
static enum sg_status check_place(const char *path, struct sg_error *error)
{
    static const char *const behind[] = {"", "-journal", "-wal"};
    for (size_t i = 0; i < sizeof behind / sizeof *behind; i++) {
        struct stat found;
        char *name = sqlite3_mprintf("%s%s", path, behind[i]);
        if (!name)
            return sg_fail(error, SG_FAULT, "no memory to make %s", path);
        bool taken = lstat(name, &found) == 0;
        enum sg_status status = taken ? refuse(name, error) : SG_OK;
        sqlite3_free(name);
        if (taken)
            return status;
    }
    return SG_OK;
}

/* An open new file with a name that nobody has; -1 with errno. */
static int make_temporary(struct sg_beside *file)
{
    int fd = -1;
    for (unsigned i = 0; i < 1000; i++) {
        sqlite3_free(file->temporary);
        file->temporary = sqlite3_mprintf("%s.new-%ld-%u", file->path, (long)getpid(), i);
        if (!file->temporary) {
            errno = ENOMEM;
            return -1;
        }
        fd = open(file->temporary, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (fd >= 0 || errno != EEXIST)
            break;
    }
    if (fd < 0) {
        sqlite3_free(file->temporary); /* it is not ours: nothing to remove */
        file->temporary = NULL;
    }
    return fd;
}

static bool write_all(int fd, const unsigned char *bytes, size_t size)
{
    while (size > 0) {
        ssize_t n = write(fd, bytes, size);
        if (n < 0 && errno != EINTR)
            return false;
        if (n > 0) {
            bytes += n;
            size -= (size_t)n;
        }
    }
    return true;
}

enum sg_status sg_beside_write(struct sg_beside *file, const char *path, const void *bytes, size_t size,
                               struct sg_error *error)
{
    *file = (struct sg_beside){.path = path};
    enum sg_status status = check_place(path, error);
    if (status != SG_OK)
        return status;
    int fd = make_temporary(file);
    if (fd < 0)
        return sg_fail(error, SG_NO_WRITE, "cannot write %s: %s", path, strerror(errno));
    bool written = write_all(fd, bytes, size) && fsync(fd) == 0;
    int why = errno;
    bool closed = close(fd) == 0;
    if (written && closed)
        return SG_OK;
    status = sg_fail(error, SG_NO_WRITE, "cannot write %s: %s", path, strerror(written ? errno : why));
    sg_beside_drop(file);
    return status;
}

/* The new name is on the disk only when its folder is. Some file systems cannot sync a folder: that is no
 * error. */
static void sync_folder(const char *path)
{
    const char *slash = strrchr(path, '/');
    char *folder = slash ? sqlite3_mprintf("%.*s", (int)(slash - path) + 1, path) : sqlite3_mprintf(".");
    int fd = folder ? open(folder, O_RDONLY | O_CLOEXEC) : -1;
    if (fd >= 0) {
        (void)fsync(fd);
        close(fd);
    }
    sqlite3_free(folder);
}

/* For file systems without links: take the name with an empty file of our own, then put the whole one there.
 */
static int rename_new(const char *temporary, const char *path)
{
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0)
        return -1;
    close(fd);
    if (rename(temporary, path) == 0)
        return 0;
    int why = errno;
    unlink(path);
    errno = why;
    return -1;
}

enum sg_status sg_beside_publish(struct sg_beside *file, struct sg_error *error)
{
    int done = link(file->temporary, file->path);
    if (done != 0 && errno != EEXIST)
        done = rename_new(file->temporary, file->path);
    enum sg_status status = SG_OK;
    if (done != 0)
        status = errno == EEXIST
                     ? refuse(file->path, error)
                     : sg_fail(error, SG_NO_WRITE, "cannot write %s: %s", file->path, strerror(errno));
    sg_beside_drop(file);
    if (status == SG_OK)
        sync_folder(file->path);
    return status;
}

void sg_beside_drop(struct sg_beside *file)
{
    if (file->temporary)
        unlink(file->temporary);
    sqlite3_free(file->temporary);
    file->temporary = NULL;
}
