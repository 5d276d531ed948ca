/* What the files about many rows share. */
#ifndef SANDGLASS_CLIP_INSIDE_H
#define SANDGLASS_CLIP_INSIDE_H

#include "edit/clip.h"
#include "edit/inside.h"

/* ---- rows of a shop (clip_rows.c) ---- */

/* A row's id in the file. */
int64_t sg_row_of(const struct sg_shop *shop, struct sg_target target);

/* Where a record of that kind keeps its key; NULL for a stock, which has a number. */
const char **sg_record_key(enum sg_kind kind, void *record);

/* Rows that belong together: those of one parent stand one after another in the shop. */
struct sg_rows {
    int32_t first, n;
};

/* The index of the row that a row belongs to: of a job its shift, of a stock its job, of a part its stock; 0
 * for the kinds that belong to none. And the rows of a parent. */
int32_t sg_parent_of(const struct sg_shop *shop, struct sg_target target);
struct sg_rows sg_rows_of(const struct sg_shop *shop, enum sg_kind kind, int32_t parent);

/* The kind that rows of a kind belong to; false for those that belong to none. */
bool sg_parent_kind(enum sg_kind kind, enum sg_kind *parent);

/* The rows that keys name, in the order of the shop and each once, as an array to be freed; *n becomes their
 * number. Errors as sg_desk_yank says. */
enum sg_status sg_rows_find(const struct sg_shop *shop, const char *const *keys, int *n,
                            struct sg_target **out, struct sg_error *error);

/* What was done with rows of a shop, as far as it fits: "removed 4 parts of 2604/1: A, B, C, D", of one row
 * "2604/1/A removed". behind (may be NULL) follows the parent: "moved 2 jobs of shift:A up: 2601, 2602". */
struct sg_deed {
    const char *verb, *of; /* "pasted", "into" */
    const char *behind;
};
void sg_deed_words(const struct sg_deed *deed, const struct sg_shop *shop, const struct sg_target *rows,
                   int n, char *out, size_t size);

/* ---- free keys (clip_key.c) ---- */

/* Keys that are taken. Fixed room; in the arena. */
struct sg_taken {
    struct sg_taken_key {
        const char *key; /* borrowed; NULL: empty */
        int next;        /* the number at which the last search for a free key like this one ended */
    } * at;
    size_t room; /* a power of two */
};
enum sg_status sg_taken_start(struct sg_taken *taken, size_t most, struct sg_arena *arena,
                              struct sg_error *error);
void sg_taken_add(struct sg_taken *taken, const char *key);
bool sg_taken_has(const struct sg_taken *taken, const char *key);

/* The key itself if it is free, else the next one like it, ... It is taken then. NULL: no memory.
 */
const char *sg_taken_free(struct sg_taken *taken, enum sg_kind kind, const char *key, struct sg_arena *arena);

/* ---- the clip (clip.c) ---- */

struct sg_clip {
    enum sg_kind kind;
    int32_t n;
    struct sg_arena arena;
    struct sg_shop shop; /* the rows alone, with all materials and heads that they may point to */
    char said[SG_WORDS_SIZE];
};
enum sg_status sg_clip_take(const struct sg_shop *shop, const struct sg_target *rows, int n,
                            struct sg_clip **out, struct sg_error *error);

/* ---- where rows go (clip_put.c) ---- */

/* A place among the rows of one parent. */
struct sg_spot {
    enum sg_kind kind;
    int32_t parent;       /* index */
    int64_t parent_row;   /* in the file; 0 where there is none */
    struct sg_rows there; /* who stands there already */
    int32_t before;       /* how many of them stand before */
};
enum sg_status sg_spot_find(const struct sg_shop *shop, enum sg_kind kind, const char *beside, bool above,
                            struct sg_spot *out, struct sg_error *error);

/* Rows that were just added at the end of the spot's parent move to the spot. */
enum sg_status sg_spot_settle(struct sg_desk *desk, const struct sg_spot *spot, const int64_t *rows,
                              int32_t n, struct sg_error *error);

#endif
