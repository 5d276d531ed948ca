/* Shop files for the tests of the desk, and shops as plain copies to change by hand.
 *
 * Nothing here needs Check, so that a benchmark can use it: what goes wrong stops the program with a
 * sentence. */
#ifndef SANDGLASS_TESTS_EDIT_SHOP_FILE_H
#define SANDGLASS_TESTS_EDIT_SHOP_FILE_H

#include "edit/desk.h"
#include "sandglass/arena.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#ifndef SCRATCH
#define SCRATCH "."
#endif

static inline void shop_must(enum sg_status status, const struct sg_error *error)
{
    if (status == SG_OK)
        return;
    fprintf(stderr, "a shop file for a test: %s\n", error->text);
    abort();
}

/* ---- a file in a folder of its own ---- */

struct shop_file {
    char folder[500], path[520];
};

/* A new shop file in US units, dated 2026-12-01: the example shop or one without jobs. */
static inline void shop_file_make(struct shop_file *file, bool example)
{
    struct sg_error error;
    const struct sg_store_new how = {
        .units = SG_UNITS_US, .date = sg_date_days(2026, 12, 1), .example = example};
    snprintf(file->folder, sizeof file->folder, "%s/edit-XXXXXX", SCRATCH);
    if (!mkdtemp(file->folder))
        abort();
    snprintf(file->path, sizeof file->path, "%s/shop.db", file->folder);
    shop_must(sg_store_create(file->path, &how, &error), &error);
}

/* Remove it with its folder; false where something else was left in there. */
static inline bool shop_file_remove(const struct shop_file *file)
{
    return unlink(file->path) == 0 && rmdir(file->folder) == 0;
}

static inline struct sg_desk *shop_file_desk(const struct shop_file *file, enum sg_store_mode mode)
{
    struct sg_error error;
    struct sg_desk *desk = NULL;
    shop_must(sg_desk_open(file->path, mode, &desk, &error), &error);
    return desk;
}

struct file_bytes {
    char *at;
    size_t size;
};

static inline struct file_bytes file_bytes_of(const char *path)
{
    struct file_bytes bytes = {0};
    FILE *in = fopen(path, "rb");
    if (!in || fseek(in, 0, SEEK_END) != 0)
        abort();
    bytes.size = (size_t)ftell(in);
    bytes.at = malloc(bytes.size + 1);
    rewind(in);
    if (!bytes.at || fread(bytes.at, 1, bytes.size, in) != bytes.size)
        abort();
    fclose(in);
    return bytes;
}

static inline void file_bytes_put(const char *path, const struct file_bytes *bytes)
{
    FILE *out = fopen(path, "wb");
    if (!out || fwrite(bytes->at, 1, bytes->size, out) != bytes->size || fclose(out) != 0)
        abort();
}

static inline bool file_bytes_are(const char *path, const struct file_bytes *before)
{
    struct file_bytes now = file_bytes_of(path);
    bool same = now.size == before->size && memcmp(now.at, before->at, now.size) == 0;
    free(now.at);
    return same;
}

/* ---- rows into it, many in one transaction; the desk sees them when it is opened anew ---- */

static inline void shop_file_begin(struct sg_desk *desk)
{
    struct sg_error error;
    shop_must(sg_store_begin(sg_desk_store(desk), &error), &error);
}

static inline void shop_file_commit(struct sg_desk *desk)
{
    struct sg_error error;
    shop_must(sg_store_commit(sg_desk_store(desk), &error), &error);
}

static inline int64_t shop_file_insert(struct sg_desk *desk, enum sg_kind kind, int64_t parent,
                                       const void *record)
{
    struct sg_error error;
    int64_t row = 0;
    shop_must(sg_store_insert(sg_desk_store(desk), kind, parent, sg_desk_shop(desk), record, &row, &error),
              &error);
    return row;
}

/* Index of a material that must be there. */
static inline int32_t material_of(const struct sg_shop *shop, const char *name)
{
    int index = sg_find_material(shop, name, NULL);
    if (index == SG_UNKNOWN)
        abort();
    return index;
}

enum { LINES_OF_A_STOCK = 10, STOCKS_OF_A_JOB = 2 };

/* Jobs with that many part lines in all, in the first shift: plates of five materials, 3 to 20 pieces. */
static inline void shop_file_lines(struct sg_desk *desk, int lines)
{
    static const char *const names[] = {"steel, mild", "stainless 304", "aluminium 6061", "copper",
                                        "acrylic"};
    const struct sg_shop *shop = sg_desk_shop(desk);
    int64_t job_row = 0, stock_row = 0;
    char id[32];
    shop_file_begin(desk);
    for (int i = 0; i < lines; i++) {
        int stocks = i / LINES_OF_A_STOCK, jobs = stocks / STOCKS_OF_A_JOB;
        if (i % (LINES_OF_A_STOCK * STOCKS_OF_A_JOB) == 0) {
            struct sg_job job = sg_fresh_job;
            snprintf(id, sizeof id, "J%d", jobs + 1);
            job.id = id;
            job.order = jobs + 1;
            job_row = shop_file_insert(desk, SG_KIND_JOB, 0, &job);
        }
        if (i % LINES_OF_A_STOCK == 0) {
            struct sg_stock stock = sg_fresh_stock;
            stock.number = stocks % STOCKS_OF_A_JOB + 1;
            stock.material = material_of(shop, names[stocks % 5]);
            stock.thickness = 3 + stocks % 7;
            stock.sheet_length = 2400;
            stock.sheet_width = 1200;
            stock_row = shop_file_insert(desk, SG_KIND_STOCK, job_row, &stock);
        }
        struct sg_part part = sg_fresh_part;
        snprintf(id, sizeof id, "P%d", i % LINES_OF_A_STOCK + 1);
        part.id = id;
        part.quantity = 3 + i % 18;
        part.cut_length = 300 + i % 13 * 40;
        part.pierces = 1 + i % 4;
        part.length = 60 + i % 9 * 10;
        part.width = 40 + i % 5 * 10;
        shop_file_insert(desk, SG_KIND_PART, stock_row, &part);
    }
    shop_file_commit(desk);
}

/* ---- a copy of a shop, to change by hand ---- */

/* Strings stay those of the shop that was copied. */
struct shop_copy {
    struct sg_shop shop;
    struct sg_arena arena;
};

static inline void *copy_of(struct shop_copy *copy, const void *from, int32_t n, size_t size)
{
    void *to = sg_arena_take(&copy->arena, (size_t)n * size + 1);
    if (!to)
        abort();
    if (n > 0)
        memcpy(to, from, (size_t)n * size);
    return to;
}

/* Take a shop; what the copy held is given back. Start with {0}, end with shop_copy_free. */
static inline void shop_copy_take(struct shop_copy *copy, const struct sg_shop *from)
{
    struct sg_shop *s = &copy->shop;
    sg_arena_free(&copy->arena);
    *s = *from;
    s->materials = copy_of(copy, from->materials, from->n_materials, sizeof *s->materials);
    s->heads = copy_of(copy, from->heads, from->n_heads, sizeof *s->heads);
    s->shifts = copy_of(copy, from->shifts, from->n_shifts, sizeof *s->shifts);
    s->jobs = copy_of(copy, from->jobs, from->n_jobs, sizeof *s->jobs);
    s->stocks = copy_of(copy, from->stocks, from->n_stocks, sizeof *s->stocks);
    s->parts = copy_of(copy, from->parts, from->n_parts, sizeof *s->parts);
    s->chores = copy_of(copy, from->chores, from->n_chores, sizeof *s->chores);
    s->clocks = copy_of(copy, from->clocks, from->n_clocks, sizeof *s->clocks);
    s->records = copy_of(copy, from->records, from->n_records, sizeof *s->records);
}

static inline void shop_copy_free(struct shop_copy *copy)
{
    sg_arena_free(&copy->arena);
}

/* Put the jobs in another sequence: order[i] is where the new job i stands now. Shifts must already be right;
 * places are counted anew in each shift. */
static inline void shop_copy_sequence(struct shop_copy *copy, const int32_t *order)
{
    struct sg_shop *s = &copy->shop;
    const struct sg_shop old = *s;
    int32_t stocks = 0, parts = 0, place = 0;
    s->jobs = copy_of(copy, old.jobs, old.n_jobs, sizeof *s->jobs);
    s->stocks = copy_of(copy, old.stocks, old.n_stocks, sizeof *s->stocks);
    s->parts = copy_of(copy, old.parts, old.n_parts, sizeof *s->parts);
    for (int32_t j = 0; j < old.n_jobs; j++) {
        const struct sg_job *from = &old.jobs[order[j]];
        s->jobs[j] = *from;
        place = j > 0 && s->jobs[j - 1].shift == from->shift ? place + 1 : 1;
        s->jobs[j].order = place;
        s->jobs[j].first_stock = stocks;
        for (int32_t i = from->first_stock; i < from->first_stock + from->n_stocks; i++, stocks++) {
            s->stocks[stocks] = old.stocks[i];
            s->stocks[stocks].job = j;
            s->stocks[stocks].first_part = parts;
            for (int32_t k = old.stocks[i].first_part; k < old.stocks[i].first_part + old.stocks[i].n_parts;
                 k++, parts++) {
                s->parts[parts] = old.parts[k];
                s->parts[parts].stock = stocks;
            }
        }
    }
}

/* Move a job to a shift, to a place there counted from 1; beyond its end is the end. Returns where it stands
 * then. */
static inline int32_t shop_copy_move(struct shop_copy *copy, int32_t job, int32_t shift, int32_t place)
{
    struct sg_shop *s = &copy->shop;
    int32_t *order = sg_arena_take(&copy->arena, ((size_t)s->n_jobs + 1) * sizeof *order);
    int32_t n = 0, before = 0, at;
    if (!order)
        abort();
    s->jobs[job].shift = shift;
    for (int32_t i = 0; i < s->n_jobs; i++)
        before += i != job && s->jobs[i].shift < shift;
    for (int32_t i = 0; i < s->n_jobs; i++)
        if (i != job)
            order[n++] = i;
    for (at = before; at < n && s->jobs[order[at]].shift == shift && at - before < place - 1;)
        at++;
    memmove(order + at + 1, order + at, (size_t)(n - at) * sizeof *order);
    order[at] = job;
    shop_copy_sequence(copy, order);
    return at;
}

static inline int32_t rows_of(const struct sg_shop *shop, enum sg_kind kind)
{
    const int32_t counts[SG_KINDS] = {[SG_KIND_JOB] = shop->n_jobs,
                                      [SG_KIND_STOCK] = shop->n_stocks,
                                      [SG_KIND_PART] = shop->n_parts,
                                      [SG_KIND_SHIFT] = shop->n_shifts,
                                      [SG_KIND_MACHINE] = 1,
                                      [SG_KIND_HEAD] = shop->n_heads,
                                      [SG_KIND_MATERIAL] = shop->n_materials,
                                      [SG_KIND_CHORE] = shop->n_chores,
                                      [SG_KIND_RATES] = 1,
                                      [SG_KIND_CLOCK] = shop->n_clocks,
                                      [SG_KIND_RECORD] = shop->n_records};
    return counts[kind];
}

/* The first field in which two shops differ, as "part 3 edge"; "" where they are the same. */
static inline const char *shop_difference(const struct sg_shop *a, const struct sg_shop *b)
{
    static char where[120];
    for (int kind = 0; kind < SG_KINDS; kind++) {
        int n_fields;
        const struct sg_field *fields = sg_fields((enum sg_kind)kind, &n_fields);
        int32_t n = rows_of(a, (enum sg_kind)kind);
        if (n != rows_of(b, (enum sg_kind)kind))
            return sg_kind_word((enum sg_kind)kind);
        for (int32_t i = 0; i < n; i++)
            for (int f = 0; f < n_fields; f++) {
                struct sg_value x, y;
                const struct sg_target target = {(enum sg_kind)kind, i};
                sg_field_get(&fields[f], sg_target_record(a, target), &x);
                sg_field_get(&fields[f], sg_target_record(b, target), &y);
                if (!sg_field_same(&fields[f], &x, &y)) {
                    snprintf(where, sizeof where, "%s %d %s", sg_kind_word((enum sg_kind)kind), i,
                             fields[f].name);
                    return where;
                }
            }
    }
    return "";
}

#endif
