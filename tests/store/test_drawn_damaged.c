/* Damaged outlines in the shop file are told, each in its own words, and do no harm. */
#include "store/drawn.h"

static const struct {
    const char *sql, *words;
} damages[] = {
    {"DELETE FROM drawn_piece WHERE drawn_id = 2", "its bytes are not all there"},
    {"UPDATE drawn_piece SET number = 2 WHERE drawn_id = 2", "its bytes are not all there"},
    {"UPDATE drawn_piece SET bytes = substr(bytes, 1, 90) WHERE drawn_id = 2", "not the bytes of an outline"},
    {"UPDATE drawn_piece SET bytes = CAST(x'00' || substr(bytes, 2) AS BLOB) WHERE drawn_id = 2",
     "not the bytes of an outline"},
    {"UPDATE drawn_piece SET bytes = zeroblob(300) WHERE drawn_id = 2", "not the bytes of an outline"},
    {"INSERT INTO drawn_piece VALUES (2, 2, x'00')", "not the bytes of an outline"},
    {"INSERT INTO drawn_piece VALUES (2, 3, x'00')", "its bytes are not all there"},
    {"UPDATE drawn SET program = 'maybe' WHERE id = 2", "its name or program is not possible"},
    {"UPDATE drawn SET name = 'a' || char(27) || 'b' WHERE id = 2", "its name or program is not possible"},
    {"UPDATE drawn SET name = '' WHERE id = 2", "its name or program is not possible"},
    {"UPDATE drawn SET name = 'a' || char(0) || 'b' WHERE id = 2", "its name or program is not possible"},
};

START_TEST(a_damaged_outline_is_told_by_check_and_by_loading)
{
    struct told told = {0};
    begin(store);
    insert_plates(store, 3);
    commit();
    sg_store_close(store);
    tamper("shop.db", damages[_i].sql);
    store = open_shop("shop.db", SG_STORE_READ);
    int found = sg_store_check(store, tell, &told, &error);
    ck_assert_msg(found >= 1 && strstr(told.text, damages[_i].words) && strstr(told.text, "table drawn, "),
                  "%d: %s", found, told.text);
    ck_assert_ptr_null(strchr(told.text, '\x1b'));
    ck_assert_int_eq(try_load("shop.db", &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, damages[_i].words) && strstr(error.text, "shop.db"), "%s", error.text);
}
END_TEST

/* Memory for the bytes of an outline is refused (the program is linked with --wrap=realloc): the file is
 * whole all the same. */
static size_t most_at_once = SIZE_MAX;
void *__real_realloc(void *memory, size_t size);
void *__wrap_realloc(void *memory, size_t size);
void *__wrap_realloc(void *memory, size_t size)
{
    return size > most_at_once ? NULL : __real_realloc(memory, size);
}

START_TEST(where_memory_is_out_that_is_said_and_no_damage)
{
    struct sg_outline outline;
    draw_polygon(14000, &outline); /* 462000 bytes */
    struct sg_drawn drawn = drawn_of("many.dxf", &outline);
    struct sg_arena arena = {0};
    struct sg_shop shop;
    begin(store);
    insert(&drawn);
    commit();
    open_again();
    most_at_once = 400000;
    enum sg_status status = sg_store_load(store, &arena, &shop, &error);
    most_at_once = SIZE_MAX;
    ck_assert_msg(status == SG_FAULT && strstr(error.text, "memory"), "%d: %s", (int)status, error.text);
    sg_arena_free(&arena);
    ck_assert_int_eq(sg_store_load(store, &arena, &shop, &error), SG_OK);
    ck_assert_int_eq(shop.n_drawn, 1);
    sg_arena_free(&arena);
    sg_outline_free(&outline);
}
END_TEST

/* Each damaged outline is told, and no part is told for one. */
START_TEST(check_tells_of_each_damaged_outline_and_not_of_its_parts)
{
    struct told told = {0};
    begin(store);
    insert_plates(store, 4);
    ck_assert_int_eq(sg_store_run(store, "UPDATE part SET outline_id = 2", &error), SG_OK);
    commit();
    sg_store_close(store);
    tamper("shop.db", "UPDATE drawn_piece SET bytes = zeroblob(100) WHERE drawn_id IN (2, 4)");
    store = open_shop("shop.db", SG_STORE_READ);
    int found = sg_store_check(store, tell, &told, &error);
    ck_assert_msg(found == 2 && strstr(told.text, "key 2.nc") && strstr(told.text, "key 4.nc"), "%d: %s",
                  found, told.text);
}
END_TEST

START_TEST(a_part_that_points_to_no_outline_is_told)
{
    struct told told = {0};
    sg_store_close(store);
    tamper("shop.db", "UPDATE part SET outline_id = 9 WHERE id = 1");
    store = open_shop("shop.db", SG_STORE_READ);
    ck_assert_int_ge(sg_store_check(store, tell, &told, &error), 1);
    ck_assert_msg(strstr(told.text, "outline_id") && strstr(told.text, "2601/1/A"), "%s", told.text);
    ck_assert_int_eq(try_load("shop.db", &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "outline_id"), "%s", error.text);
}
END_TEST

/* Bytes of the file changed at random where outlines lie: refused or read, and nothing crashes. */
START_TEST(random_damage_of_outlines_does_no_harm)
{
    struct dice dice = {.state = 0x0D4A};
    struct sg_outline polygon = {0};
    int read = 0;
    draw_polygon(3000, &polygon);
    struct sg_drawn drawn = drawn_of("gear.dxf", &polygon);
    begin(store);
    insert(&drawn);
    insert_plates(store, 3);
    ck_assert_int_eq(sg_store_run(store, "UPDATE part SET outline_id = 1 + id % 4", &error), SG_OK);
    commit();
    struct bytes whole = bytes_of("shop.db");
    for (int round = 0; round < 60; round++) {
        unsigned char *bad = malloc(whole.size);
        memcpy(bad, whole.at, whole.size);
        for (int i = 0; i < 4; i++)
            bad[whole.size - 1 - roll(&dice) % 100000] = (unsigned char)roll(&dice);
        write_bytes("bad.db", bad, whole.size);
        free(bad);
        read += try_load("bad.db", &error) == SG_OK;
    }
    ck_assert_int_gt(read, 0);
    sg_outline_free(&polygon);
    free(whole.at);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outlines damaged");
    TCase *tests = tcase_create("outlines damaged");
    tcase_add_checked_fixture(tests, open_example, close_example);
    tcase_add_loop_test(tests, a_damaged_outline_is_told_by_check_and_by_loading, 0,
                        (int)(sizeof damages / sizeof *damages));
    tcase_add_test(tests, where_memory_is_out_that_is_said_and_no_damage);
    tcase_add_test(tests, check_tells_of_each_damaged_outline_and_not_of_its_parts);
    tcase_add_test(tests, a_part_that_points_to_no_outline_is_told);
    tcase_add_test(tests, random_damage_of_outlines_does_no_harm);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
