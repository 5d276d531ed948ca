/* A new shop file, and random materials, heads and shifts put into it. */
#ifndef SANDGLASS_TESTS_STORE_RANDOM_ROWS_H
#define SANDGLASS_TESTS_STORE_RANDOM_ROWS_H

#include "store/common.h"

static struct sg_store *store;
static struct sg_error error;
static struct dice dice;

static void open_empty(void)
{
    enter_folder();
    make_shop("shop.db", false);
    store = open_shop("shop.db", SG_STORE_WRITE);
    dice = (struct dice){.state = 0x5EED5A17ED5A4D61};
}

static void close_all(void)
{
    sg_store_close(store);
    sg_arena_free(&dice.arena);
    leave_folder();
}

static struct sg_shop load(void)
{
    struct sg_shop shop;
    ck_assert_msg(sg_store_load(store, &dice.arena, &shop, &error) == SG_OK, "%s", error.text);
    return shop;
}

static void begin(void)
{
    ck_assert_msg(sg_store_begin(store, &error) == SG_OK, "%s", error.text);
}

static void commit(void)
{
    ck_assert_msg(sg_store_commit(store, &error) == SG_OK, "%s", error.text);
}

static int64_t insert(enum sg_kind kind, int64_t parent, const struct sg_shop *shop, const void *record)
{
    int64_t row = 0;
    enum sg_status status = sg_store_insert(store, kind, parent, shop, record, &row, &error);
    ck_assert_msg(status == SG_OK, "%s: %s", sg_kind_word(kind), error.text);
    ck_assert_int_gt(row, 0);
    return row;
}

static const char *name(const char *before, int i)
{
    char text[40];
    snprintf(text, sizeof text, "%s%d", before, i);
    return sg_arena_text(&dice.arena, text, strlen(text));
}

enum { ROUNDS = 40 };

static struct sg_material materials[ROUNDS];
static struct sg_head heads[ROUNDS];
static struct sg_shift shifts[ROUNDS];

static void insert_random_library(void)
{
    insert_plates(store, 5);
    struct sg_shop shop = load();
    for (int i = 0; i < ROUNDS; i++) {
        materials[i].name = name("material ", i);
        heads[i].name = name("head ", i);
        shifts[i].id = name("shift ", i);
        roll_record(&dice, SG_KIND_MATERIAL, &shop, &materials[i]);
        roll_record(&dice, SG_KIND_HEAD, &shop, &heads[i]);
        roll_record(&dice, SG_KIND_SHIFT, &shop, &shifts[i]);
        materials[i].row = insert(SG_KIND_MATERIAL, 0, &shop, &materials[i]);
        heads[i].row = insert(SG_KIND_HEAD, 0, &shop, &heads[i]);
        shifts[i].row = insert(SG_KIND_SHIFT, 0, &shop, &shifts[i]);
    }
}

#endif
