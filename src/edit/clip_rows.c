/* Several rows of a shop: found, looked at, named. */
#include "edit/clip_inside.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEY_SIZE = 1200 };

int64_t sg_row_of(const struct sg_shop *shop, struct sg_target target)
{
    int64_t row; /* every record starts with it */
    memcpy(&row, sg_target_record(shop, target), sizeof row);
    return row;
}

const char **sg_record_key(enum sg_kind kind, void *record)
{
    switch (kind) {
    case SG_KIND_JOB:
        return &((struct sg_job *)record)->id;
    case SG_KIND_PART:
        return &((struct sg_part *)record)->id;
    case SG_KIND_SHIFT:
        return &((struct sg_shift *)record)->id;
    case SG_KIND_MACHINE:
        return &((struct sg_machine *)record)->name;
    case SG_KIND_HEAD:
        return &((struct sg_head *)record)->name;
    case SG_KIND_MATERIAL:
        return &((struct sg_material *)record)->name;
    case SG_KIND_CHORE:
        return &((struct sg_chore *)record)->name;
    case SG_KIND_RATES:
        return &((struct sg_rates *)record)->name;
    case SG_KIND_CLOCK:
        return &((struct sg_clock *)record)->id;
    case SG_KIND_RECORD:
        return &((struct sg_record *)record)->id;
    default:
        return NULL;
    }
}

/* ---- what belongs together ---- */

bool sg_parent_kind(enum sg_kind kind, enum sg_kind *parent)
{
    bool has = kind == SG_KIND_JOB || kind == SG_KIND_STOCK || kind == SG_KIND_PART;
    if (has)
        *parent = kind == SG_KIND_JOB ? SG_KIND_SHIFT : kind == SG_KIND_STOCK ? SG_KIND_JOB : SG_KIND_STOCK;
    return has;
}

int32_t sg_parent_of(const struct sg_shop *shop, struct sg_target target)
{
    switch (target.kind) {
    case SG_KIND_JOB:
        return shop->jobs[target.index].shift;
    case SG_KIND_STOCK:
        return shop->stocks[target.index].job;
    case SG_KIND_PART:
        return shop->parts[target.index].stock;
    default:
        return 0;
    }
}

static struct sg_rows jobs_of(const struct sg_shop *shop, int32_t shift)
{
    struct sg_rows rows = {0, 0};
    while (rows.first < shop->n_jobs && shop->jobs[rows.first].shift != shift)
        rows.first++;
    while (rows.first + rows.n < shop->n_jobs && shop->jobs[rows.first + rows.n].shift == shift)
        rows.n++;
    return rows;
}

struct sg_rows sg_rows_of(const struct sg_shop *shop, enum sg_kind kind, int32_t parent)
{
    switch (kind) {
    case SG_KIND_JOB:
        return jobs_of(shop, parent);
    case SG_KIND_STOCK:
        return (struct sg_rows){shop->jobs[parent].first_stock, shop->jobs[parent].n_stocks};
    case SG_KIND_PART:
        return (struct sg_rows){shop->stocks[parent].first_part, shop->stocks[parent].n_parts};
    case SG_KIND_SHIFT:
        return (struct sg_rows){0, shop->n_shifts};
    case SG_KIND_HEAD:
        return (struct sg_rows){0, shop->n_heads};
    case SG_KIND_MATERIAL:
        return (struct sg_rows){0, shop->n_materials};
    case SG_KIND_CHORE:
        return (struct sg_rows){0, shop->n_chores};
    case SG_KIND_CLOCK:
        return (struct sg_rows){0, shop->n_clocks};
    case SG_KIND_RECORD:
        return (struct sg_rows){0, shop->n_records};
    default:
        return (struct sg_rows){0, 1};
    }
}

/* ---- by their keys ---- */

static int by_index(const void *a, const void *b)
{
    const struct sg_target *x = a, *y = b;
    return (x->index > y->index) - (x->index < y->index);
}

/* Whether the row behind the last one is it, as when all parts of a stock are named one after another:
 * looking through the shop for each of many would take long. */
static bool is_next(const struct sg_shop *shop, const struct sg_target *last, const char *key,
                    struct sg_target *out)
{
    char name[KEY_SIZE];
    struct sg_rows rows = sg_rows_of(shop, last->kind, sg_parent_of(shop, *last));
    *out = (struct sg_target){last->kind, last->index + 1};
    if (out->index >= rows.first + rows.n)
        return false;
    sg_key_write(shop, *out, name, sizeof name);
    return strcmp(name, key) == 0;
}

static enum sg_status find_row(const struct sg_shop *shop, const char *const *keys, int at,
                               struct sg_target *rows, struct sg_error *error)
{
    enum sg_status status = SG_OK;
    if (at == 0 || !is_next(shop, &rows[at - 1], keys[at], &rows[at]))
        status = sg_key_find_whole(shop, keys[at], &rows[at], error);
    if (status != SG_OK)
        return status;
    if (rows[at].kind == SG_KIND_MACHINE || rows[at].kind == SG_KIND_RATES)
        return sg_fail(
            error, SG_USAGE,
            "a shop has one machine, which stays, as its rates do: name jobs, stocks, parts, shifts, heads, "
            "materials or chores");
    if (rows[at].kind != rows[0].kind)
        return sg_fail(error, SG_USAGE, "rows of one kind go together: %.80s is a %s, %.80s is a %s", keys[0],
                       sg_kind_word(rows[0].kind), keys[at], sg_kind_word(rows[at].kind));
    return SG_OK;
}

enum sg_status sg_rows_find(const struct sg_shop *shop, const char *const *keys, int *n,
                            struct sg_target **out, struct sg_error *error)
{
    int once = 0;
    enum sg_status status = SG_OK;
    if (*n <= 0)
        return sg_fail(error, SG_USAGE, "no row is named");
    struct sg_target *rows = malloc((size_t)*n * sizeof *rows);
    if (!rows)
        return sg_fail(error, SG_FAULT, "no memory for %d rows", *n);
    for (int i = 0; i < *n && status == SG_OK; i++)
        status = find_row(shop, keys, i, rows, error);
    if (status != SG_OK) {
        free(rows);
        return status;
    }
    qsort(rows, (size_t)*n, sizeof *rows, by_index);
    for (int i = 0; i < *n; i++)
        if (once == 0 || rows[once - 1].index != rows[i].index)
            rows[once++] = rows[i];
    *n = once;
    *out = rows;
    return SG_OK;
}

/* ---- in words ---- */

/* The key of a row behind that of its parent. */
static void short_key(const struct sg_shop *shop, struct sg_target row, char *out, size_t size)
{
    if (row.kind == SG_KIND_STOCK)
        snprintf(out, size, "%d", shop->stocks[row.index].number);
    else
        snprintf(out, size, "%s", *sg_record_key(row.kind, sg_target_record(shop, row)));
}

static void list_keys(const struct sg_shop *shop, const struct sg_target *rows, int n, bool together,
                      char *out, size_t size)
{
    char key[KEY_SIZE];
    size_t used = 0;
    enum { MORE = 24 /* ", and 123456 more" */, LONGEST = 100 };
    for (int i = 0; i < n; i++) {
        if (together)
            short_key(shop, rows[i], key, sizeof key);
        else
            sg_key_write(shop, rows[i], key, sizeof key);
        key[LONGEST] = '\0';
        if (used + strlen(key) + 2 + (i + 1 < n ? MORE : 0) >= size) {
            snprintf(out + used, size - used, "%s %d more", i ? ", and" : "", n - i);
            return;
        }
        used += (size_t)snprintf(out + used, size - used, "%s%s", i ? ", " : " ", key);
    }
}

void sg_deed_words(const struct sg_deed *deed, const struct sg_shop *shop, const struct sg_target *rows,
                   int n, char *out, size_t size)
{
    char key[KEY_SIZE] = "";
    enum sg_kind parent = SG_KIND_JOB;
    const char *behind = deed->behind ? deed->behind : "";
    int32_t first = sg_parent_of(shop, rows[0]);
    bool together = true;
    for (int i = 1; i < n; i++)
        together = together && sg_parent_of(shop, rows[i]) == first;
    if (n == 1) {
        sg_key_write(shop, rows[0], key, sizeof key);
        snprintf(out, size, "%.300s %s%s", key, deed->verb, behind);
        return;
    }
    bool of = together && sg_parent_kind(rows[0].kind, &parent);
    if (of)
        sg_key_write(shop, (struct sg_target){parent, first}, key, sizeof key);
    size_t used =
        (size_t)snprintf(out, size, "%s %d %ss%s%s%s%.200s%s:", deed->verb, n, sg_kind_word(rows[0].kind),
                         of ? " " : "", of ? deed->of : "", of ? " " : "", key, behind);
    if (used < size)
        list_keys(shop, rows, n, together, out + used, size - used);
}
