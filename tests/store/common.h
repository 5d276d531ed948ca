/* What the tests of the shop file share: a folder of their own, files as bytes, random records. */
#ifndef SANDGLASS_TESTS_STORE_COMMON_H
#define SANDGLASS_TESTS_STORE_COMMON_H

#include "store/inside.h"
#include "support/shop.h"

#include <check.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static char folder[512];

/* Each test runs in a process and a folder of its own. */
static inline void enter_folder(void)
{
    snprintf(folder, sizeof folder, "%s/store-XXXXXX", SCRATCH);
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(chdir(folder), 0);
}

static inline void leave_folder(void)
{
    char command[600];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(chdir("/"), 0);
    ck_assert_int_eq(system(command), 0);
}

static inline bool exists(const char *path)
{
    struct stat found;
    return lstat(path, &found) == 0;
}

/* How many names the folder holds. */
static inline int names_here(void)
{
    FILE *list = popen("ls -A | wc -l", "r");
    int n = -1;
    ck_assert_int_eq(fscanf(list, "%d", &n), 1);
    pclose(list);
    return n;
}

struct bytes {
    unsigned char *at;
    size_t size;
};

static inline struct bytes bytes_of(const char *path)
{
    struct bytes bytes = {0};
    FILE *file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s", path);
    fseek(file, 0, SEEK_END);
    bytes.size = (size_t)ftell(file);
    rewind(file);
    bytes.at = malloc(bytes.size + 1);
    ck_assert_uint_eq(fread(bytes.at, 1, bytes.size, file), bytes.size);
    fclose(file);
    return bytes;
}

static inline void write_bytes(const char *path, const void *at, size_t size)
{
    FILE *file = fopen(path, "wb");
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_eq(fwrite(at, 1, size, file), size);
    ck_assert_int_eq(fclose(file), 0);
}

static inline bool same_bytes(const struct bytes *a, const struct bytes *b)
{
    return a->size == b->size && memcmp(a->at, b->at, a->size) == 0;
}

/* ---- shop files ---- */

static inline void make_shop(const char *path, bool example)
{
    struct sg_store_new how = {SG_UNITS_METRIC, 20000, example};
    struct sg_error error = {0};
    ck_assert_msg(sg_store_create(path, &how, &error) == SG_OK, "%s", error.text);
}

static inline struct sg_store *open_shop(const char *path, enum sg_store_mode mode)
{
    struct sg_opening how = {sg_schema_steps, sg_schema_n_steps, 20};
    struct sg_store *store = NULL;
    struct sg_error error = {0};
    ck_assert_msg(sg_store_open_as(path, mode, &how, &store, &error) == SG_OK, "%s", error.text);
    return store;
}

/* Change a file in a way that the program itself would not. */
static inline void tamper(const char *path, const char *sql)
{
    sqlite3 *db;
    char *why = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    sqlite3_exec(db, "PRAGMA ignore_check_constraints = ON; PRAGMA writable_schema = ON", NULL, NULL, NULL);
    ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, &why) == SQLITE_OK, "%s: %s", sql, why);
    sqlite3_close(db);
}

static inline enum sg_status try_load(const char *path, struct sg_error *error)
{
    struct sg_opening how = {sg_schema_steps, sg_schema_n_steps, 20};
    struct sg_store *store = NULL;
    struct sg_arena arena = {0};
    struct sg_shop shop;
    enum sg_status status = sg_store_open_as(path, SG_STORE_READ, &how, &store, error);
    if (status == SG_OK)
        status = sg_store_load(store, &arena, &shop, error);
    sg_arena_free(&arena);
    sg_store_close(store);
    return status;
}

struct told {
    int count;
    char text[8000];
};

static inline void tell(void *context, const char *sentence)
{
    struct told *told = context;
    told->count++;
    if (strlen(told->text) + strlen(sentence) + 2 < sizeof told->text)
        strcat(strcat(told->text, sentence), "\n");
}

/* ---- outlines ---- */

/* Keep outlines "1.dxf", "2.nc", ...: the plate of support/shop.h, wider each
 * time. */
static inline void insert_plates(struct sg_store *store, int n)
{
    struct sg_error error = {0};
    for (int i = 0; i < n; i++) {
        struct sg_outline plate = test_plate;
        char name[20];
        plate.box[2] += i;
        snprintf(name, sizeof name, "%d.%s", i + 1, i % 2 ? "nc" : "dxf");
        struct sg_drawn drawn = {.name = name,
                                 .outline = &plate,
                                 .program = i % 2,
                                 .rapid_length = i % 2 ? 10.5 * i : (double)NAN};
        ck_assert_msg(sg_store_insert_drawn(store, &drawn, &error) == SG_OK, "%s", error.text);
        ck_assert_int_gt(drawn.row, 0);
    }
}

/* ---- random records ---- */

struct dice {
    uint64_t state;
    struct sg_arena arena;
};

static inline uint64_t roll(struct dice *dice)
{
    dice->state ^= dice->state << 13;
    dice->state ^= dice->state >> 7;
    dice->state ^= dice->state << 17;
    return dice->state;
}

static inline int64_t roll_below(struct dice *dice, int64_t end)
{
    return (int64_t)(roll(dice) % (uint64_t)end);
}

static inline double roll_number(struct dice *dice, const struct sg_field *field)
{
    switch (roll_below(dice, 8)) {
    case 0:
        return field->max;
    case 1:
        return field->flags & SG_FIELD_ABOVE_MIN ? field->max / 3 : field->min;
    default: {
        double part = ((double)(roll(dice) >> 11) + 1) / 9007199254740993.0;
        return field->min + (field->max - field->min) * part;
    }
    }
}

static inline const char *roll_text(struct dice *dice, int max)
{
    static const char *const pieces[] = {"a",
                                         "Z",
                                         " b",
                                         "7",
                                         "'",
                                         "\"",
                                         "%s",
                                         ",",
                                         "\xC3\xA9",
                                         "\xE2\x80\x94",
                                         "-\t-",
                                         "x\ny",
                                         "\xF0\x9F\x94\xA7",
                                         ";"};
    char text[200] = "t";
    int n = (int)roll_below(dice, max < 40 ? max : 40);
    for (int i = 0; i < n / 3; i++)
        strcat(text, pieces[roll_below(dice, 14)]);
    return sg_arena_text(&dice->arena, text, strlen(text));
}

static inline void roll_list(struct dice *dice, const struct sg_field *field, struct sg_value *value)
{
    int max = field->type == SG_FIELD_SPANS ? SG_MAX_SPANS : SG_MAX_DAYS;
    value->count = (int32_t)roll_below(dice, max) + 1;
    for (int i = 0; i < value->count; i++)
        if (field->type == SG_FIELD_DATES) {
            value->days[i] = (int32_t)roll_below(dice, 2900000);
        } else {
            value->spans[i].from_s = (int32_t)roll_below(dice, SG_DAY_S);
            value->spans[i].to_s = value->spans[i].from_s + 1 + (int32_t)roll_below(dice, SG_DAY_S - 2);
        }
}

static inline void roll_items(struct dice *dice, const struct sg_field *field, struct sg_value *value)
{
    bool places = field->type == SG_FIELD_PLACES;
    value->items.n = roll_below(dice, 3) + 1;
    for (int64_t i = 0; i < value->items.n; i++) {
        double *at = value->items.at[i];
        at[0] = 1 + (double)roll_below(dice, 1000000) / 64;
        at[1] = 1 + (double)roll_below(dice, 1000000) / 64;
        at[2] = places ? (double)roll_below(dice, 1000) : (double)roll_below(dice, 9) + 1;
        at[3] = places ? (double)roll_below(dice, 1000) : 0;
    }
}

static inline void roll_value(struct dice *dice, const struct sg_field *field, const struct sg_shop *shop,
                              struct sg_value *value)
{
    int words = 0;
    memset(value, 0, sizeof *value);
    value->none = field->flags & SG_FIELD_OPTIONAL && roll_below(dice, 4) == 0;
    value->none = value->none || (field->type == SG_FIELD_OUTLINE && shop->n_drawn == 0);
    if (value->none)
        return;
    while (field->words && field->words[words])
        words++;
    switch (field->type) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_NUMBERS:
    case SG_FIELD_EDGE:
        for (int i = 0; i < field->count; i++)
            value->number[i] = roll_number(dice, field);
        return;
    case SG_FIELD_WHOLE:
        value->whole = (int64_t)roll_number(dice, field);
        return;
    case SG_FIELD_CHOICE:
        value->whole = roll_below(dice, words);
        return;
    case SG_FIELD_FLAGS:
        value->whole = roll_below(dice, (INT64_C(1) << words) - 1) + 1;
        return;
    case SG_FIELD_TEXT:
        value->text = roll_text(dice, (int)field->max);
        return;
    case SG_FIELD_DATE:
        value->whole = roll_below(dice, 2900000);
        return;
    case SG_FIELD_TIME:
        value->whole = roll_below(dice, 9) ? roll_below(dice, SG_DAY_S) : SG_DAY_S;
        return;
    case SG_FIELD_MOMENT:
        value->whole = roll_below(dice, INT64_C(2900000) * SG_DAY_S);
        return;
    case SG_FIELD_SPANS:
    case SG_FIELD_DATES:
        roll_list(dice, field, value);
        return;
    case SG_FIELD_MATERIAL:
        value->whole = roll_below(dice, shop->n_materials);
        return;
    case SG_FIELD_HEAD:
        value->whole = roll_below(dice, shop->n_heads);
        return;
    case SG_FIELD_SHIFT:
        value->whole = roll_below(dice, shop->n_shifts);
        return;
    case SG_FIELD_OUTLINE:
        value->whole = roll_below(dice, shop->n_drawn);
        return;
    case SG_FIELD_SIZES:
    case SG_FIELD_PLACES:
        roll_items(dice, field, value);
        return;
    }
}

/* Fill every field of a record of that kind with a value that it may hold. */
static inline void roll_record(struct dice *dice, enum sg_kind kind, const struct sg_shop *shop, void *record)
{
    int n;
    const struct sg_field *fields = sg_fields(kind, &n);
    struct sg_value value;
    for (int i = 0; i < n; i++) {
        roll_value(dice, &fields[i], shop, &value);
        sg_field_put(&fields[i], record, &value);
    }
}

/* The name of the first field in which two records differ, or NULL. */
static inline const char *difference(enum sg_kind kind, const void *a, const void *b)
{
    int n;
    const struct sg_field *fields = sg_fields(kind, &n);
    struct sg_value x, y;
    for (int i = 0; i < n; i++) {
        sg_field_get(&fields[i], a, &x);
        sg_field_get(&fields[i], b, &y);
        if (!sg_field_same(&fields[i], &x, &y))
            return fields[i].name;
    }
    return NULL;
}

static inline int run_suite(Suite *suite)
{
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}

#endif
