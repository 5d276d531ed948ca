#define _XOPEN_SOURCE 700 /* realpath */
#include "exchange/exchange.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PIECE = 64 * 1024, NAME_TRIES = 100 };

/* ---- in ---- */

static enum sg_status read_all(int file, const char *path, size_t limit, struct sg_text *text,
                               struct sg_error *error)
{
    char piece[PIECE];
    for (;;) {
        ssize_t got = read(file, piece, sizeof piece);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return sg_fail(error, SG_NO_FILE, "cannot read %s: %s", path, strerror(errno));
        if ((size_t)got > limit - text->length)
            return sg_fail(error, SG_BAD_DATA, "%s is too large: more than %zu bytes", path, limit);
        sg_text_add(text, piece, (size_t)got); /* adds the NUL when the file is empty, too */
        if (text->failed)
            return sg_fail(error, SG_FAULT, "no memory for %s", path);
        if (got == 0)
            return SG_OK;
    }
}

enum sg_status sg_file_read(const char *path, size_t limit, char **data, size_t *length,
                            struct sg_error *error)
{
    bool standard = strcmp(path, "-") == 0;
    const char *name = standard ? "standard input" : path;
    int file = standard ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
    if (file < 0)
        return sg_fail(error, SG_NO_FILE, "cannot open %s: %s", name, strerror(errno));
    struct sg_text text = {0};
    enum sg_status status = read_all(file, name, limit, &text, error);
    if (!standard)
        close(file);
    if (status != SG_OK) {
        sg_text_free(&text);
        return status;
    }
    *data = text.data;
    *length = text.length;
    return SG_OK;
}

/* ---- out ---- */

/* A file being written: it gets its name only when it is whole. */
struct draft {
    const char *path; /* as the caller named it, for sentences */
    char target[PATH_MAX], folder[PATH_MAX], name[PATH_MAX];
    int file;
    bool exists; /* and is replaced: then its mode is kept */
    mode_t mode;
};

static enum sg_status fail_write(const struct draft *draft, struct sg_error *error)
{
    return sg_fail(error, SG_NO_WRITE, "cannot write %s: %s", draft->path, strerror(errno));
}

/* Where to write: a link that is replaced is followed, so that it stays a link; a device is never renamed
 * over. */
static enum sg_status find_target(struct draft *draft, bool replace, struct sg_error *error)
{
    struct stat info;
    bool exists = replace && stat(draft->path, &info) == 0;
    draft->exists = exists;
    if (exists && !S_ISREG(info.st_mode))
        return sg_fail(error, SG_NO_WRITE, "cannot write %s: it is not a regular file", draft->path);
    draft->mode = exists ? info.st_mode & 0777 : 0;
    if (exists && !realpath(draft->path, draft->target))
        return fail_write(draft, error);
    if (!exists && strlen(draft->path) >= sizeof draft->target) {
        errno = ENAMETOOLONG;
        return fail_write(draft, error);
    }
    if (!exists)
        strcpy(draft->target, draft->path);
    const char *slash = strrchr(draft->target, '/');
    size_t length = slash ? (size_t)(slash - draft->target) + 1 : 0;
    memcpy(draft->folder, draft->target, length);
    strcpy(draft->folder + length, length ? "" : ".");
    return SG_OK;
}

/* Opened with 0666, so that the kernel applies the person's umask and the folder's defaults. */
static enum sg_status open_draft(struct draft *draft, struct sg_error *error)
{
    for (int i = 0; i < NAME_TRIES; i++) {
        int length = snprintf(draft->name, sizeof draft->name, "%s/.sandglass-%ld-%d", draft->folder,
                              (long)getpid(), i);
        if (length >= (int)sizeof draft->name) {
            errno = ENAMETOOLONG;
            break;
        }
        draft->file = open(draft->name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (draft->file >= 0)
            return SG_OK;
        if (errno != EEXIST)
            break;
    }
    return fail_write(draft, error);
}

static bool write_all(int file, const char *data, size_t length)
{
    while (length > 0) {
        ssize_t put = write(file, data, length);
        if (put < 0 && errno == EINTR)
            continue;
        if (put < 0)
            return false;
        data += put;
        length -= (size_t)put;
    }
    return true;
}

static enum sg_status fill_draft(struct draft *draft, const char *data, size_t length, struct sg_error *error)
{
    bool good = write_all(draft->file, data, length) &&
                (!draft->exists || fchmod(draft->file, draft->mode) == 0) && fsync(draft->file) == 0;
    int reason = errno;
    if (close(draft->file) != 0 && good) {
        good = false;
        reason = errno;
    }
    errno = reason;
    return good ? SG_OK : fail_write(draft, error);
}

/* Where the file system has no hard links: take the name with an empty file of ours, then rename over that.
 */
static bool take_name_without_link(const struct draft *draft)
{
    int file = open(draft->target, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (file < 0)
        return false;
    close(file);
    if (rename(draft->name, draft->target) == 0)
        return true;
    int reason = errno;
    unlink(draft->target);
    errno = reason;
    return false;
}

/* Give the draft its name without ever replacing a file: link and O_EXCL both refuse a name that is taken. */
static bool take_new_name(const struct draft *draft)
{
    if (link(draft->name, draft->target) == 0) {
        unlink(draft->name);
        return true;
    }
    if (errno == EPERM || errno == ENOTSUP || errno == ENOSYS)
        return take_name_without_link(draft);
    return false;
}

static enum sg_status publish(const struct draft *draft, bool replace, struct sg_error *error)
{
    bool good = replace ? rename(draft->name, draft->target) == 0 : take_new_name(draft);
    if (good)
        return SG_OK;
    if (errno == EEXIST)
        return sg_fail(error, SG_NO_WRITE, "%s exists already and is not replaced", draft->path);
    return fail_write(draft, error);
}

/* The name itself is on disk only after this. It cannot be taken back here, so a folder that cannot be synced
 * (some network file systems) is no failure. */
static void sync_folder(const char *folder)
{
    int file = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (file < 0)
        return;
    (void)fsync(file);
    close(file);
}

enum sg_status sg_file_write(const char *path, const char *data, size_t length, bool replace,
                             struct sg_error *error)
{
    struct draft draft = {.path = path, .file = -1};
    enum sg_status status = find_target(&draft, replace, error);
    if (status != SG_OK)
        return status;
    status = open_draft(&draft, error);
    if (status != SG_OK)
        return status;
    status = fill_draft(&draft, data, length, error);
    if (status == SG_OK)
        status = publish(&draft, replace, error);
    if (status == SG_OK)
        sync_folder(draft.folder);
    else
        unlink(draft.name);
    return status;
}
