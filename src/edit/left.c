#define _XOPEN_SOURCE 700 /* realpath */
#include "edit/left_record.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

static const char suffix[] = ".draft-XXXXXX";

enum { TRIES = 100 };

struct sg_left_file {
    int fd; /* holds the lock */
    char *path;
    uint64_t generation; /* of the record that counts; 0: none yet */
    size_t at, size;     /* where it lies */
};

struct sg_left {
    char *path, *real; /* of the shop file: as given, and with links followed */
    uint64_t shop;     /* its inode */
    struct sg_left_file *file;
    unsigned char *bytes; /* for the next record */
    size_t room;
    int told; /* the errno that was told of, 0: none */
};

/* ---- the file ---- */

static void file_close(struct sg_left_file *file)
{
    if (file->fd >= 0)
        close(file->fd);
    free(file->path);
    free(file);
}

/* Whether the name still leads to what is open. */
static bool is_there(const struct sg_left_file *file)
{
    struct stat open_one, named;
    return fstat(file->fd, &open_one) == 0 && lstat(file->path, &named) == 0 &&
           open_one.st_dev == named.st_dev && open_one.st_ino == named.st_ino;
}

/* The name goes while the lock is held, so that nobody finds it in between. In a folder where one may remove
 * only what one made oneself, a colleague's is emptied. */
static void file_remove(struct sg_left_file *file)
{
    if (is_there(file) && unlink(file->path) != 0)
        (void)!ftruncate(file->fd, 0);
    file_close(file);
}

/* flock, and not fcntl's locks by process: these belong to the opening of the file, so that they hold between
 * two openings of one process too, end with its last descriptor however the process dies, and are not lost
 * where the process opens and closes the same file elsewhere. Of the two locks that do so it is the one that
 * every Unix has; over NFS Linux turns it into a lock that the server keeps. */
static bool lock(int fd)
{
    return flock(fd, LOCK_EX | LOCK_NB) == 0;
}

/* Who may write the shop file may take its drafts over: its mode and group are followed as far as they go. */
static void follow_shop(int fd, const char *shop)
{
    struct stat at_shop, ours;
    if (stat(shop, &at_shop) != 0 || fstat(fd, &ours) != 0)
        return;
    mode_t mode = S_IRUSR | S_IWUSR;
    if ((at_shop.st_mode & S_IWGRP) &&
        (ours.st_gid == at_shop.st_gid || fchown(fd, (uid_t)-1, at_shop.st_gid) == 0))
        mode |= S_IRGRP | S_IWGRP;
    if (at_shop.st_mode & S_IWOTH)
        mode |= S_IROTH | S_IWOTH;
    (void)!fchmod(fd, mode); /* else it stays its maker's alone */
}

/* Give the file a name that nobody has, and lock it; false with errno. Between the making and the lock one
 * who looks for drafts may take it for an empty one that a dead program left: EAGAIN then. */
static bool make_file(struct sg_left_file *file, const char *shop)
{
    memcpy(file->path + strlen(shop), suffix, sizeof suffix);
    file->fd = mkstemp(file->path); /* never through a link, never over another */
    if (file->fd < 0)
        return false;
    fcntl(file->fd, F_SETFD, FD_CLOEXEC);
    bool locked = lock(file->fd);
    int why = locked || errno == EWOULDBLOCK ? EAGAIN : errno;
    if (locked && is_there(file)) {
        follow_shop(file->fd, shop);
        return true;
    }
    if (is_there(file))
        unlink(file->path);
    close(file->fd);
    file->fd = -1;
    errno = why;
    return false;
}

static struct sg_left_file *file_new(const char *shop)
{
    struct sg_left_file *file = calloc(1, sizeof *file);
    if (!file)
        return NULL;
    file->fd = -1;
    file->path = malloc(strlen(shop) + sizeof suffix);
    if (file->path) {
        strcpy(file->path, shop);
        for (int i = 0; i < TRIES; i++) {
            if (make_file(file, shop))
                return file;
            if (errno != EAGAIN)
                break;
        }
    }
    int why = errno;
    file_close(file);
    errno = why;
    return NULL;
}

static bool write_at(int fd, const unsigned char *bytes, size_t size, size_t at)
{
    while (size > 0) {
        ssize_t n = pwrite(fd, bytes, size, (off_t)at);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0)
            return false;
        bytes += n;
        size -= (size_t)n;
        at += (size_t)n;
    }
    return true;
}

/* Clear of the record that counts, since a kill can come between any two pages of a write: before it where it
 * fits, else behind it. */
static size_t free_slot(const struct sg_left_file *file, size_t size)
{
    if (file->generation == 0 || (file->at > 0 && size <= file->at))
        return 0;
    size_t at = 0;
    while (at < file->at + file->size)
        at = sg_left_next_slot(at);
    return at;
}

/* ---- put and clear ---- */

/* path with links followed, so that all who use one shop file look in one place. */
static char *real_path(const char *path)
{
    char *real = realpath(path, NULL);
    return real || errno == ENOMEM ? real : strdup(path);
}

struct sg_left *sg_left_new(const char *path)
{
    struct sg_left *left = calloc(1, sizeof *left);
    if (!left)
        return NULL;
    left->path = strdup(path);
    left->real = real_path(path);
    if (!left->path || !left->real) {
        sg_left_free(left);
        return NULL;
    }
    struct stat shop;
    if (stat(left->real, &shop) == 0)
        left->shop = shop.st_ino;
    return left;
}

void sg_left_free(struct sg_left *left)
{
    if (!left)
        return;
    if (left->file)
        file_close(left->file);
    free(left->path);
    free(left->real);
    free(left->bytes);
    free(left);
}

/* Somebody may have swept the folder. */
static bool was_removed(const struct sg_left_file *file)
{
    struct stat info;
    return fstat(file->fd, &info) == 0 && info.st_nlink == 0;
}

static bool make_room(struct sg_left *left, size_t size)
{
    if (size > SG_LEFT_MOST) {
        errno = EFBIG;
        return false;
    }
    if (size <= left->room)
        return true;
    unsigned char *bytes = realloc(left->bytes, 2 * size);
    if (!bytes)
        return false;
    left->bytes = bytes;
    left->room = 2 * size;
    return true;
}

/* Into left->bytes; its size, 0 with errno. */
static size_t compose(struct sg_left *left, const struct sg_left_text *text)
{
    struct sg_left_head head = {
        .size = sg_left_record_size(text), .generation = left->file->generation + 1, .shop = left->shop};
    if (!make_room(left, head.size))
        return 0;
    sg_left_record_write(left->bytes, &head, text);
    return head.size;
}

static bool put_down(struct sg_left *left, const struct sg_left_text *text)
{
    if (left->file && was_removed(left->file)) {
        file_close(left->file);
        left->file = NULL;
    }
    if (!left->file)
        left->file = file_new(left->real);
    if (!left->file)
        return false;
    size_t size = compose(left, text);
    if (size == 0)
        return false;
    size_t at = free_slot(left->file, size);
    if (!write_at(left->file->fd, left->bytes, size, at))
        return false;
    left->file->at = at;
    left->file->size = size;
    left->file->generation++;
    return true;
}

enum sg_status sg_left_put(struct sg_left *left, const struct sg_left_text *text, struct sg_error *error)
{
    if (put_down(left, text)) {
        left->told = 0;
        return SG_OK;
    }
    if (left->told == errno)
        return SG_NO;
    left->told = errno;
    return sg_fail(error, SG_NO_WRITE, "cannot write beside %s: %s", left->path, strerror(errno));
}

void sg_left_clear(struct sg_left *left)
{
    if (left->file)
        file_remove(left->file);
    left->file = NULL;
    left->told = 0;
}

/* ---- find ---- */

/* What is being found. */
struct search {
    const char *folder, *name; /* of the shop file */
    uint64_t shop;             /* its inode; 0: not known */
    struct sg_left_found *found;
    int n, room;
};

static bool is_name_of_draft(const char *entry, const char *name)
{
    size_t length = strlen(name), dash = sizeof suffix - 1 - 6;
    return strncmp(entry, name, length) == 0 && strncmp(entry + length, suffix, dash) == 0 &&
           strlen(entry + length) == dash + 6;
}

/* Whether it is a draft by its beginning, or one of this person's that was made and never written. */
static bool is_ours(int fd, const struct stat *info)
{
    return info->st_size == 0 ? info->st_uid == geteuid() : sg_left_begins(fd);
}

/* The file at path, locked, if it is ours and nobody holds it; else NULL. Nothing but a file is opened, for
 * the opening of a device may do something. Another who looked, or the owner, may have removed it between the
 * opening and the lock. */
static struct sg_left_file *file_catch(const char *path, size_t *size)
{
    struct stat info;
    if (lstat(path, &info) != 0 || !S_ISREG(info.st_mode))
        return NULL;
    struct sg_left_file *file = calloc(1, sizeof *file);
    if (!file)
        return NULL;
    file->path = strdup(path);
    file->fd = open(path, O_RDWR | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (file->path && file->fd >= 0 && lock(file->fd) && is_there(file) && fstat(file->fd, &info) == 0 &&
        S_ISREG(info.st_mode) && is_ours(file->fd, &info)) {
        *size = (size_t)info.st_size;
        return file;
    }
    file_close(file);
    return NULL;
}

static bool add_found(struct search *search, struct sg_left_file *file, const struct sg_left_record *record)
{
    if (search->n == search->room) {
        int room = 2 * search->room + 4;
        struct sg_left_found *more = realloc(search->found, (size_t)room * sizeof *more);
        if (!more)
            return false;
        search->found = more;
        search->room = room;
    }
    struct sg_left_found *found = &search->found[search->n];
    uint64_t shop = record->head.shop;
    *found = (struct sg_left_found){.file = file,
                                    .bytes = record->bytes,
                                    .replaced = shop != 0 && search->shop != 0 && shop != search->shop};
    if (!sg_left_record_read(record, &found->text))
        return false;
    file->generation = record->head.generation;
    file->at = record->at;
    file->size = record->head.size;
    search->n++;
    return true;
}

static void look_at(struct search *search, const char *path)
{
    size_t size;
    struct sg_left_record record;
    struct sg_left_file *file = file_catch(path, &size);
    if (!file)
        return;
    enum sg_left_reading reading = sg_left_record_newest(file->fd, size, &record);
    if (reading == SG_LEFT_TORN)
        file_remove(file);
    else if (reading == SG_LEFT_NOT_READ)
        file_close(file); /* another time */
    else if (!add_found(search, file, &record)) {
        file_close(file);
        free(record.bytes);
    }
}

static enum sg_status look_through(struct search *search, struct sg_error *error)
{
    DIR *folder = opendir(search->folder);
    if (!folder)
        return sg_fail(error, SG_NO_FILE, "cannot read the folder %s: %s", search->folder, strerror(errno));
    for (struct dirent *entry; (entry = readdir(folder));) {
        if (!is_name_of_draft(entry->d_name, search->name))
            continue;
        char *path = malloc(strlen(search->folder) + strlen(entry->d_name) + 1);
        if (!path)
            break;
        strcpy(path, search->folder);
        strcat(path, entry->d_name);
        look_at(search, path);
        free(path);
    }
    closedir(folder);
    return SG_OK;
}

static int newest_first(const void *a, const void *b)
{
    double x = ((const struct sg_left_found *)a)->text.at, y = ((const struct sg_left_found *)b)->text.at;
    return (x < y) - (x > y);
}

enum sg_status sg_left_find(const char *path, struct sg_left_found **found, int *n, struct sg_error *error)
{
    char *real = real_path(path), *slash = real ? strrchr(real, '/') : NULL;
    const char *name = slash ? slash + 1 : real;
    char *folder = slash ? strndup(real, (size_t)(name - real)) : strdup("./");
    if (!real || !folder) {
        free(real);
        free(folder);
        return sg_fail(error, SG_FAULT, "no memory to look for drafts beside %s", path);
    }
    struct stat info;
    struct search search = {.folder = folder, .name = name, .shop = stat(real, &info) == 0 ? info.st_ino : 0};
    enum sg_status status = look_through(&search, error);
    free(folder);
    free(real);
    if (status != SG_OK)
        return status;
    if (search.n > 0)
        qsort(search.found, (size_t)search.n, sizeof *search.found, newest_first);
    else {
        free(search.found);
        search.found = NULL;
    }
    *found = search.found;
    *n = search.n;
    return SG_OK;
}

void sg_left_take(struct sg_left *left, struct sg_left_found *found)
{
    if (!found->file)
        return;
    sg_left_clear(left);
    left->file = found->file;
    found->file = NULL;
}

void sg_left_drop(struct sg_left_found *found)
{
    if (found->file)
        file_remove(found->file);
    found->file = NULL;
}

void sg_left_found_free(struct sg_left_found *found, int n)
{
    for (int i = 0; i < n; i++) {
        if (found[i].file)
            file_close(found[i].file);
        free(found[i].bytes);
    }
    free(found);
}
