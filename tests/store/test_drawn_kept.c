/* Outlines in the shop file: they come back bit for bit, in pieces where they are long, from copies and
 * through undo, and what is not committed or not readable does not go in. */
#include "store/drawn.h"

static void ck_same_bytes(const struct sg_outline *a, const struct sg_outline *b)
{
    size_t size = sg_outline_pack(a, NULL);
    unsigned char *x = malloc(size), *y = malloc(size);
    ck_assert_uint_eq(sg_outline_pack(b, NULL), size);
    sg_outline_pack(a, x);
    sg_outline_pack(b, y);
    ck_assert(memcmp(x, y, size) == 0);
    free(x);
    free(y);
}

/* ---- they come back ---- */

START_TEST(outlines_come_back_bit_for_bit_after_reopening)
{
    struct random r = {20261207};
    struct sg_outline outlines[20] = {{0}};
    struct sg_drawn drawn[20];
    struct loaded loaded = {0};
    static const char *const names[] = {"plate.dxf", "plate.nc", "St\xC3\xBCtze 1.dxf", "a'b\"c.dxf"};
    char others[16][20];
    begin(store);
    for (int i = 0; i < 20; i++) {
        random_outline(&r, &outlines[i]);
        if (i >= 4)
            snprintf(others[i - 4], sizeof *others, "%d.dxf", i);
        drawn[i] = drawn_of(i < 4 ? names[i] : others[i - 4], &outlines[i]);
        drawn[i].program = i % 3 == 0;
        drawn[i].rapid_length = i % 3 == 0 ? within(&r, 0, 1e4) : (double)NAN;
        insert(&drawn[i]);
        ck_assert_int_eq(drawn[i].row, i + 1);
    }
    commit();
    for (int round = 0; round < 2; round++) {
        load(store, &loaded); /* as the store remembers them, and then anew */
        ck_assert_int_eq(loaded.shop.n_drawn, 20);
        for (int i = 0; i < 20; i++) {
            const struct sg_drawn *d = &loaded.shop.drawn[i];
            ck_assert_str_eq(d->name, drawn[i].name);
            ck_assert(d->row == i + 1 && d->program == drawn[i].program);
            ck_assert(memcmp(&d->rapid_length, &drawn[i].rapid_length, sizeof(double)) == 0 ||
                      (!sg_known(d->rapid_length) && !sg_known(drawn[i].rapid_length)));
            ck_same_bytes(d->outline, &outlines[i]);
        }
        uint64_t print = loaded.shop.drawn[7].print;
        open_again();
        load(store, &loaded);
        ck_assert_uint_eq(loaded.shop.drawn[7].print, print);
    }
    is_sound(store);
    sg_arena_free(&loaded.arena);
    for (int i = 0; i < 20; i++)
        sg_outline_free(&outlines[i]);
}
END_TEST

START_TEST(a_part_finds_its_outline_again)
{
    struct loaded loaded = {0};
    begin(store);
    insert_plates(store, 6);
    load(store, &loaded);
    struct sg_part part = sg_fresh_part;
    int64_t row;
    part.id = "Z";
    part.outline = 3;
    ck_assert_msg(sg_store_insert(store, SG_KIND_PART, 1, &loaded.shop, &part, &row, &error) == SG_OK, "%s",
                  error.text);
    commit();
    open_again();
    load(store, &loaded);
    const struct sg_stock *stock = &loaded.shop.stocks[0];
    const struct sg_part *found = &loaded.shop.parts[stock->first_part + stock->n_parts - 1];
    ck_assert_str_eq(found->id, "Z");
    ck_assert_int_eq(found->outline, 3);
    ck_assert_str_eq(loaded.shop.drawn[found->outline].name, "4.nc");
    ck_assert_int_eq(row_of(store, "SELECT outline_id FROM part WHERE key = 'Z'"), 4);
    sg_arena_free(&loaded.arena);
}
END_TEST

START_TEST(a_long_outline_lies_in_pieces)
{
    struct sg_outline polygon = {0};
    struct loaded loaded = {0};
    draw_polygon(40000, &polygon); /* 1,320,161 bytes */
    struct sg_drawn drawn = drawn_of("gear.dxf", &polygon);
    begin(store);
    insert(&drawn);
    commit();
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM drawn_piece"), 3);
    ck_assert_int_eq(row_of(store, "SELECT max(length(bytes)) FROM drawn_piece"), 500000);
    ck_assert_int_eq(row_of(store, "SELECT sum(length(bytes)) FROM drawn_piece"),
                     (int64_t)sg_outline_pack(&polygon, NULL));
    open_again();
    load(store, &loaded);
    ck_same_bytes(loaded.shop.drawn[0].outline, &polygon);
    is_sound(store);
    sg_arena_free(&loaded.arena);
    sg_outline_free(&polygon);
}
END_TEST

START_TEST(an_outline_of_about_a_piece_lies_in_one_or_two)
{
    struct sg_outline cut = {0};
    struct loaded loaded = {0};
    for (int n = 15145; n < 15149; n++) { /* 84 + 77 + 33 n bytes: 499,946 to 500,045 */
        char name[20];
        draw_polygon(n, &cut);
        snprintf(name, sizeof name, "%d.dxf", n);
        struct sg_drawn drawn = drawn_of(name, &cut);
        begin(store);
        insert(&drawn);
        commit();
        size_t size = sg_outline_pack(&cut, NULL);
        char sql[100];
        snprintf(sql, sizeof sql, "SELECT count(*) FROM drawn_piece WHERE drawn_id = %lld",
                 (long long)drawn.row);
        ck_assert_int_eq(row_of(store, sql), size > 500000 ? 2 : 1);
        load(store, &loaded);
        ck_same_bytes(loaded.shop.drawn[loaded.shop.n_drawn - 1].outline, &cut);
        sg_outline_free(&cut);
    }
    sg_arena_free(&loaded.arena);
}
END_TEST

/* ---- writing that does not come to its end ---- */

START_TEST(a_rollback_leaves_none_behind)
{
    struct loaded loaded = {0};
    begin(store);
    insert_plates(store, 3);
    load(store, &loaded);
    ck_assert_int_eq(loaded.shop.n_drawn, 3);
    sg_store_rollback(store);
    load(store, &loaded);
    ck_assert_int_eq(loaded.shop.n_drawn, 0);
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM drawn_piece"), 0);
    begin(store); /* others in their rows */
    struct sg_drawn other = drawn_of("other.dxf", &test_plate);
    insert(&other);
    commit();
    load(store, &loaded);
    ck_assert_int_eq(loaded.shop.n_drawn, 1);
    ck_assert_str_eq(loaded.shop.drawn[0].name, "other.dxf");
    sg_arena_free(&loaded.arena);
}
END_TEST

START_TEST(a_name_that_is_taken_is_refused)
{
    struct sg_drawn one = drawn_of("plate.dxf", &test_plate), two = one;
    begin(store);
    insert(&one);
    two.row = 77;
    ck_assert_int_eq(sg_store_insert_drawn(store, &two, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "outline plate.dxf exists already"), "%s", error.text);
    ck_assert_int_eq(two.row, 77);
    sg_store_rollback(store);
}
END_TEST

/* A name that could not be read again must not go in: the file would be lost. */
START_TEST(a_name_that_cannot_be_read_again_is_refused)
{
    static char long_name[250];
    memset(long_name, 'x', 201);
    static const char *const names[] = {"", "a\x1b[2J.dxf", "\xFFplate.dxf", "cut off \xC3", long_name};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        struct sg_drawn drawn = drawn_of(names[i], &test_plate);
        struct loaded loaded = {0};
        begin(store);
        ck_assert_msg(sg_store_insert_drawn(store, &drawn, &error) != SG_OK, "name %zu is taken", i);
        sg_store_rollback(store);
        load(store, &loaded);
        ck_assert_int_eq(loaded.shop.n_drawn, 0);
        sg_arena_free(&loaded.arena);
    }
}
END_TEST

START_TEST(another_connection_sees_them_after_the_commit)
{
    struct sg_store *other = open_shop("shop.db", SG_STORE_WRITE);
    struct loaded loaded = {0};
    load(other, &loaded);
    ck_assert_int_eq(loaded.shop.n_drawn, 0);
    begin(store);
    insert_plates(store, 2);
    commit();
    load(other, &loaded);
    ck_assert_int_eq(loaded.shop.n_drawn, 2);
    begin(other);
    struct sg_drawn drawn = drawn_of("third.dxf", &test_plate);
    ck_assert_int_eq(sg_store_insert_drawn(other, &drawn, &error), SG_OK);
    ck_assert_int_eq(drawn.row, 3);
    ck_assert_int_eq(sg_store_commit(other, &error), SG_OK);
    load(store, &loaded);
    ck_assert_int_eq(loaded.shop.n_drawn, 3);
    ck_assert_str_eq(loaded.shop.drawn[2].name, "third.dxf");
    sg_store_close(other);
    sg_arena_free(&loaded.arena);
}
END_TEST

/* ---- copies and older files ---- */

START_TEST(a_backup_holds_the_outlines)
{
    struct sg_outline polygon = {0};
    struct loaded loaded = {0};
    draw_polygon(20000, &polygon);
    struct sg_drawn drawn = drawn_of("gear.dxf", &polygon);
    begin(store);
    insert(&drawn);
    commit();
    ck_assert_msg(sg_store_backup(store, "copy.db", &error) == SG_OK, "%s", error.text);
    sg_store_close(store);
    store = open_shop("copy.db", SG_STORE_READ);
    load(store, &loaded);
    ck_assert_int_eq(loaded.shop.n_drawn, 1);
    ck_same_bytes(loaded.shop.drawn[0].outline, &polygon);
    is_sound(store);
    sg_arena_free(&loaded.arena);
    sg_outline_free(&polygon);
}
END_TEST

START_TEST(a_file_of_version_3_is_brought_up_and_takes_outlines)
{
    struct loaded loaded = {0}, fresh = {0};
    load(store, &fresh);
    make_version("old.db", 3);
    sg_store_close(store);
    store = open_shop("old.db", SG_STORE_WRITE);
    ck_assert(exists("old.db.v3.backup"));
    is_sound(store);
    load(store, &loaded);
    ck_assert_int_eq(loaded.shop.n_drawn, 0);
    ck_assert_int_eq(loaded.shop.n_parts, fresh.shop.n_parts);
    for (int i = 0; i < fresh.shop.n_parts; i++)
        ck_assert_ptr_null(difference(SG_KIND_PART, &loaded.shop.parts[i], &fresh.shop.parts[i]));
    ck_assert_ptr_null(difference(SG_KIND_MACHINE, &loaded.shop.machine, &fresh.shop.machine));
    begin(store);
    insert_plates(store, 1);
    ck_assert_int_eq(sg_store_run(store, "UPDATE part SET outline_id = 1 WHERE id = 1", &error), SG_OK);
    keep(store, "anna", 1, "outline of 2601/1/A: none -> 1.dxf");
    sg_store_close(store);
    store = open_shop("old.db", SG_STORE_WRITE);
    load(store, &loaded);
    ck_assert_int_eq(loaded.shop.parts[0].outline, 0);
    is_sound(store);
    sg_arena_free(&loaded.arena);
    sg_arena_free(&fresh.arena);
}
END_TEST

/* What was there before the columns came is taken away, changed and taken back like all else. */
START_TEST(rows_of_an_older_file_are_taken_back_whole)
{
    struct content start;
    make_version("old.db", 3);
    sg_store_close(store);
    store = open_shop("old.db", SG_STORE_WRITE);
    read_content(store->db, &start);
    for (int job = 1; job <= 5; job++)
        take_away(store, "anna", job, SG_KIND_JOB, job, "removed a job");
    for (int job = 1; job <= 5; job++)
        undoes(store, "anna", 10 + job, "removed a job");
    is_as(store, &start, "all taken back");
    is_sound(store);
}
END_TEST

/* ---- the history ---- */

START_TEST(undo_takes_the_parts_outline_back_and_leaves_the_outline)
{
    struct content before, after;
    read_content(store->db, &before);
    begin(store);
    insert_plates(store, 1);
    ck_assert_int_eq(sg_store_run(store, "UPDATE part SET outline_id = 1 WHERE id = 1", &error), SG_OK);
    keep(store, "anna", 1, "outline of 2601/1/A: none -> 1.dxf");
    read_content(store->db, &after);
    open_again();
    undoes(store, "anna", 2, "outline of 2601/1/A: none -> 1.dxf");
    is_as(store, &before, "undone");
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM drawn"), 1);
    open_again();
    redoes(store, "anna", 3, "outline of 2601/1/A: none -> 1.dxf");
    is_as(store, &after, "done again");
    take_away(store, "anna", 4, SG_KIND_PART, 1, "removed 2601/1/A");
    undoes(store, "anna", 5, "removed 2601/1/A");
    ck_assert_int_eq(row_of(store, "SELECT outline_id FROM part WHERE id = 1"), 1);
    is_sound(store);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outlines kept");
    TCase *tests = tcase_create("outlines kept");
    tcase_add_checked_fixture(tests, open_example, close_example);
    tcase_add_test(tests, outlines_come_back_bit_for_bit_after_reopening);
    tcase_add_test(tests, a_part_finds_its_outline_again);
    tcase_add_test(tests, a_long_outline_lies_in_pieces);
    tcase_add_test(tests, an_outline_of_about_a_piece_lies_in_one_or_two);
    tcase_add_test(tests, a_rollback_leaves_none_behind);
    tcase_add_test(tests, a_name_that_is_taken_is_refused);
    tcase_add_test(tests, a_name_that_cannot_be_read_again_is_refused);
    tcase_add_test(tests, another_connection_sees_them_after_the_commit);
    tcase_add_test(tests, a_backup_holds_the_outlines);
    tcase_add_test(tests, a_file_of_version_3_is_brought_up_and_takes_outlines);
    tcase_add_test(tests, rows_of_an_older_file_are_taken_back_whole);
    tcase_add_test(tests, undo_takes_the_parts_outline_back_and_leaves_the_outline);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
