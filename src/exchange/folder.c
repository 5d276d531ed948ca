/* A folder of drawings as a parts list. */
#include "exchange/columns.h"

#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

enum { MOST_FILES = 10000, COLUMNS = 3 };

static const char *const endings[] = {".dxf", ".nc", ".iso", ".ngc", ".tap"};

/* A file of the folder: its name, its path, and the key of its part, each with memory of its own. */
struct entry {
    char *name, *path, *key;
};

struct folder {
    struct entry *entries;
    int n, room;
};

/* Length of a file's name without its ending; 0 where it is no drawing. */
static size_t stem_of(const char *name)
{
    const char *dot = strrchr(name, '.');
    for (size_t i = 0; dot && i < sizeof endings / sizeof *endings; i++)
        if (strcasecmp(dot, endings[i]) == 0)
            return (size_t)(dot - name);
    return 0;
}

/* Without the blanks around it, which a key may not have. */
static char *trimmed(const char *text, size_t length)
{
    for (; length > 0 && (*text == ' ' || *text == '\t'); length--)
        text++;
    while (length > 0 && (text[length - 1] == ' ' || text[length - 1] == '\t'))
        length--;
    return strndup(text, length);
}

static void free_entry(struct entry *entry)
{
    free(entry->name);
    free(entry->path);
    free(entry->key);
}

static void free_folder(struct folder *folder)
{
    for (int i = 0; i < folder->n; i++)
        free_entry(&folder->entries[i]);
    free(folder->entries);
}

/* ---- what is in it ---- */

/* The path as it can be typed: one that began with a blank could not. */
static char *path_to(const char *folder, const char *name)
{
    struct sg_text path = {0};
    const char *slash = folder[strlen(folder) - 1] == '/' ? "" : "/";
    sg_text_format(&path, "%s%s%s%s", *folder == ' ' ? "./" : "", folder, slash, name);
    if (path.failed)
        sg_text_free(&path);
    return path.data;
}

/* Folders in it that are called like drawings are passed over. False: no memory. */
static bool take_file(struct folder *folder, const char *path, const char *name)
{
    struct stat found;
    if (folder->n == folder->room) {
        int room = folder->room * 2 + 64;
        struct entry *more = realloc(folder->entries, (size_t)room * sizeof *more);
        if (!more)
            return false;
        folder->entries = more;
        folder->room = room;
    }
    struct entry entry = {strdup(name), path_to(path, name), trimmed(name, stem_of(name))};
    bool whole = entry.name && entry.path && entry.key;
    if (whole && (stat(entry.path, &found) != 0 || !S_ISDIR(found.st_mode)))
        folder->entries[folder->n++] = entry;
    else
        free_entry(&entry);
    return whole;
}

static enum sg_status no_folder(const char *path, struct sg_error *error)
{
    return sg_fail(error, SG_NO_FILE, "cannot read the folder %s: %s", path, strerror(errno));
}

static enum sg_status take_files(DIR *stream, const char *path, struct folder *folder, struct sg_error *error)
{
    while (folder->n <= MOST_FILES) {
        errno = 0;
        const struct dirent *entry = readdir(stream);
        if (!entry)
            return errno ? no_folder(path, error) : SG_OK;
        if (entry->d_name[0] != '.' && stem_of(entry->d_name) > 0 && !take_file(folder, path, entry->d_name))
            return sg_fail(error, SG_FAULT, "no memory to list %s", path);
    }
    return SG_OK;
}

static enum sg_status read_folder(const char *path, struct folder *folder, struct sg_error *error)
{
    DIR *stream = opendir(path);
    if (!stream)
        return no_folder(path, error);
    enum sg_status status = take_files(stream, path, folder, error);
    closedir(stream);
    if (status != SG_OK)
        return status;
    if (folder->n == 0)
        return sg_fail(error, SG_BAD_DATA,
                       "there is no drawing (.dxf) or part program (.nc .iso .ngc .tap) in %s", path);
    if (folder->n > MOST_FILES)
        return sg_fail(error, SG_BAD_DATA, "%s holds more drawings than one import takes, %d", path,
                       MOST_FILES);
    return SG_OK;
}

/* ---- keys of parts ---- */

static int by_name(const void *a, const void *b)
{
    return strcmp(((const struct entry *)a)->name, ((const struct entry *)b)->name);
}

static int by_key(const void *a, const void *b)
{
    return strcmp((*(const struct entry *const *)a)->key, (*(const struct entry *const *)b)->key);
}

/* A part is called as its file without the ending. Where that is the key of another too, or the whole name of
 * another, which may be its key, it is called by its whole name. False: no memory. */
static bool name_parts(struct folder *folder)
{
    int n = folder->n;
    struct entry **sorted = malloc((size_t)n * sizeof *sorted);
    bool *shared = calloc((size_t)n, sizeof *shared), whole = sorted && shared;
    for (int i = 0; whole && i < n; i++)
        sorted[i] = &folder->entries[i];
    if (whole)
        qsort(sorted, (size_t)n, sizeof(struct entry *), by_key);
    for (int i = 0; whole && i < n; i++) {
        const struct entry other = {.name = sorted[i]->key};
        shared[i] = (i > 0 && strcmp(sorted[i - 1]->key, sorted[i]->key) == 0) ||
                    (i + 1 < n && strcmp(sorted[i + 1]->key, sorted[i]->key) == 0) ||
                    bsearch(&other, folder->entries, (size_t)n, sizeof other, by_name);
    }
    char *key;
    for (int i = 0; whole && i < n; i++)
        if (shared[i] && (whole = (key = trimmed(sorted[i]->name, strlen(sorted[i]->name))))) {
            free(sorted[i]->key);
            sorted[i]->key = key;
        }
    free(sorted);
    free(shared);
    return whole;
}

/* ---- as a list ---- */

static void cells_of(const void *context, int row, const char **cells)
{
    const struct entry *entry = row > 0 ? &((const struct folder *)context)->entries[row - 1] : NULL;
    cells[0] = entry ? entry->key : "part";
    cells[1] = entry ? entry->path : "outline";
    cells[2] = entry ? "1" : "quantity";
}

bool sg_is_folder(const char *path)
{
    struct stat found;
    return strcmp(path, "-") != 0 && stat(path, &found) == 0 && S_ISDIR(found.st_mode);
}

enum sg_status sg_parts_list_folder(const char *path, const struct sg_shop *shop,
                                    const struct sg_list_how *how, struct sg_parts_list *out,
                                    struct sg_error *error)
{
    struct folder folder = {0};
    enum sg_status status = read_folder(path, &folder, error);
    if (status == SG_OK) {
        qsort(folder.entries, (size_t)folder.n, sizeof *folder.entries, by_name);
        status = name_parts(&folder) ? SG_OK : sg_fail(error, SG_FAULT, "no memory to list %s", path);
    }
    if (status == SG_OK)
        status = sg_parts_list_cells(path, COLUMNS, folder.n + 1, cells_of, &folder, shop, how, out, error);
    free_folder(&folder);
    return status;
}
