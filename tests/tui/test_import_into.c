/* Where a parts list goes: into the job where it names its materials, else into the stock one stands in; and
 * which of its columns are known. */
#include "tui/imports.h"

/* On a stock of 2601 (aluminium 6061, 0.5 in) the list still goes to the job where it names its materials. */
START_TEST(a_list_with_materials_goes_to_the_job)
{
    press(&s, "<Enter>jj");
    import(good);
    ck_row_has(&s, TITLE_ROW, "into 2601  ");
    ck_shows(&s, "2 rows good, 0 wrong, 0 to look at");
    ck_shows(&s, "New parts 2, replaced 0, new stocks 2");
    press(&s, "i");
    ck_assert_str_eq(in_file(&s, "2601/2/N1", "quantity"), "4");
    ck_assert(!has_row("2601/1/N1"));
}
END_TEST

START_TEST(a_list_of_another_thickness_does_not_go_into_the_stock)
{
    press(&s, "<Enter>jj");
    import("part,qty,thk\nN1,4,0.25\nN2,5,0.5\n");
    sg_ui_resize(s.ui, 30, 160);
    ck_row_has(&s, TITLE_ROW, "into 2601/1");
    ck_shows(&s, "1 row good, 1 wrong");
    ck_shows(&s, "the list says 0.25 in, stock 2601/1 is aluminium 6061 0.5 in: import into the job");
    press(&s, "i");
    ck_assert(has_row("2601/1/N2") && !has_row("2601/1/N1"));
}
END_TEST

/* Where it goes follows the column of the materials. */
START_TEST(the_material_column_turns_the_list_to_the_job_and_back)
{
    press(&s, "<Enter>jj");
    import("part,qty,thk,Werkstoff\nN1,4,0.25,304\n");
    ck_row_has(&s, TITLE_ROW, "into 2601/1");
    ck_shows(&s, "0 rows good, 1 wrong");
    press(&s, "jjj<Enter>material<Enter>");
    ck_row_has(&s, TITLE_ROW, "into 2601  ");
    ck_shows(&s, "1 row good, 0 wrong");
    press(&s, "<Enter>(leave<Enter>");
    ck_row_has(&s, TITLE_ROW, "into 2601/1");
    press(&s, "<Enter>material<Enter>i");
    ck_assert_str_eq(in_file(&s, "2601/2/N1", "quantity"), "4");
}
END_TEST

static void other_removes(const char *key)
{
    struct sg_error error;
    struct sg_desk *other = shop_file_desk(&s.file, SG_STORE_WRITE);
    shop_must(sg_desk_remove(other, key, &error), &error);
    sg_desk_close(other);
}

START_TEST(a_stock_that_went_meanwhile_is_no_place)
{
    press(&s, "<Enter>jj");
    import("part,qty,matl,thk\nN1,4,304,0.25\n");
    other_removes("2601/1");
    ck_assert(sg_ui_look(s.ui));
    press(&s, "jj<Enter>(leave<Enter>");
    ck_row_has(&s, TITLE_ROW, "into 2601  ");
    ck_shows(&s, "look: no material column");
}
END_TEST

START_TEST(the_columns_of_another_office_are_known_and_what_is_missing_is_said)
{
    import("Item,Desc,Qty.,Matl,Thk (in)\n00417-3,bracket,12,304,0.25\n");
    ck_row_has(&s, row_with(&s, "Item"), "part            00417-3");
    ck_row_has(&s, row_with(&s, "Qty."), "quantity        12");
    ck_shows(&s, "1 row good, 0 wrong, 0 to look at");
    press(&s, "jj<Enter>(leave<Enter>");
    ck_shows(&s, "1 row good, 0 wrong, 1 to look at");
    ck_shows(&s, "look: no quantity column: every part would be 1 piece");
    press(&s, "<Enter>quan<Enter>i");
    ck_assert_str_eq(in_file(&s, "2601/2/00417-3", "quantity"), "12");
}
END_TEST

/* A guess gives way to what is said, and that is told. */
START_TEST(a_guessed_column_makes_room)
{
    import("Item,Ref,Qty,Matl,Thk\n1,00417-3,12,304,0.25\n");
    press(&s, "j<Enter>part<Enter>");
    ck_row_has(&s, WORDS_ROW, "\"Ref\" goes to part now; \"Item\" is left out for it.");
    press(&s, "i");
    ck_assert(has_row("2601/2/00417-3"));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("import into");
    TCase *c = tcase_create("lists");
    tcase_add_checked_fixture(c, open_shop, close_shop);
    tcase_add_test(c, a_list_with_materials_goes_to_the_job);
    tcase_add_test(c, a_list_of_another_thickness_does_not_go_into_the_stock);
    tcase_add_test(c, the_material_column_turns_the_list_to_the_job_and_back);
    tcase_add_test(c, a_stock_that_went_meanwhile_is_no_place);
    tcase_add_test(c, the_columns_of_another_office_are_known_and_what_is_missing_is_said);
    tcase_add_test(c, a_guessed_column_makes_room);
    suite_add_tcase(suite, c);
    return run(suite);
}
