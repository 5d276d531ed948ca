/* A folder of drawings as a parts list. */
#include "exchange/exchange.h"

#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

enum { MOST_FILES = 10000 };

static const char *const endings[] = {".dxf", ".nc", ".iso", ".ngc", ".tap"};

/* Length of a file's name without its ending; 0 where it is no drawing. */
static size_t stem_of(const char *name)
{
    const char *dot = strrchr(name, '.');
    for (size_t i = 0; dot && i < sizeof endings / sizeof *endings; i++)
        if (strcasecmp(dot, endings[i]) == 0)
            return (size_t)(dot - name);
    return 0;
}

static int is_drawing(const struct dirent *entry)
{
    return entry->d_name[0] != '.' && stem_of(entry->d_name) > 0;
}

static void put_row(struct sg_text *out, const char *name, bool whole)
{
    char part[256];
    size_t length = whole ? strlen(name) : stem_of(name);
    memcpy(part, name, length);
    part[length] = '\0';
    sg_csv_text(out, &sg_csv_plain, part);
    sg_csv_next(out, &sg_csv_plain);
    sg_csv_text(out, &sg_csv_plain, name);
    sg_csv_next(out, &sg_csv_plain);
    sg_csv_whole(out, &sg_csv_plain, 1);
    sg_csv_end(out);
}

/* Whether a neighbour in the list has the same stem: then the part is called by the whole name. */
static bool shares_stem(struct dirent *const *entries, int n, int i)
{
    const char *name = entries[i]->d_name;
    size_t length = stem_of(name);
    for (int k = i > 0 ? i - 1 : 0; k < n && k <= i + 1; k++)
        if (k != i && stem_of(entries[k]->d_name) == length && memcmp(entries[k]->d_name, name, length) == 0)
            return true;
    return false;
}

/* Folders in it that are called like drawings are passed over; how many are left. */
static int keep_files(const char *folder, struct dirent **entries, int n)
{
    int kept = 0;
    for (int i = 0; i < n; i++) {
        struct sg_text path = {0};
        struct stat found;
        sg_text_format(&path, "%s/%s", folder, entries[i]->d_name);
        if (!path.failed && stat(path.data, &found) == 0 && S_ISDIR(found.st_mode))
            free(entries[i]);
        else
            entries[kept++] = entries[i];
        sg_text_free(&path);
    }
    return kept;
}

static enum sg_status list_folder(const char *path, char **data, size_t *length, struct sg_error *error)
{
    struct dirent **entries = NULL;
    struct sg_text text = {0};
    int n = scandir(path, &entries, is_drawing, alphasort);
    if (n < 0)
        return sg_fail(error, SG_NO_FILE, "cannot read the folder %s: %s", path, strerror(errno));
    n = keep_files(path, entries, n);
    sg_text_put(&text, "part,outline,quantity\r\n");
    for (int i = 0; i < n && n <= MOST_FILES; i++)
        put_row(&text, entries[i]->d_name, shares_stem(entries, n, i));
    for (int i = 0; i < n; i++)
        free(entries[i]);
    free(entries);
    enum sg_status status = SG_OK;
    if (n == 0 || n > MOST_FILES)
        status = sg_fail(error, SG_BAD_DATA,
                         n == 0 ? "there is no drawing (.dxf) or part program (.nc .iso .ngc .tap) in %s"
                                : "%s holds more drawings than one import takes, 10000",
                         path);
    else if (text.failed)
        status = sg_fail(error, SG_FAULT, "no memory to list %s", path);
    if (status != SG_OK) {
        sg_text_free(&text);
        return status;
    }
    *data = text.data;
    *length = text.length;
    return SG_OK;
}

enum sg_status sg_list_file_read(const char *path, size_t limit, char **data, size_t *length,
                                 struct sg_error *error)
{
    struct stat found;
    bool folder = strcmp(path, "-") != 0 && stat(path, &found) == 0 && S_ISDIR(found.st_mode);
    return folder ? list_folder(path, data, length, error) : sg_file_read(path, limit, data, length, error);
}
