/* The job sheet on the screen: what is shown is what is written, whole or not at all. */
#include "edit/run_suite.h"
#include "exchange/render.h"
#include "tui/facts.h"

static struct on_screen s;
static char path[600];

static void open_shop(void)
{
    s = on_screen_open(true);
    snprintf(path, sizeof path, "%s/sheet.csv", s.file.folder);
}

static void close_shop(void)
{
    unlink(path);
    on_screen_close(&s);
}

/* The job sheet of the job one stands on, on a screen that has room for it. */
static void open_sheet(void)
{
    press(&s, "go");
    sg_ui_resize(s.ui, 100, 220);
    ck_shows(&s, "JOB SHEET  2601");
}

/* E or T, and another name than the one proposed. */
static void write_to(const char *key, const char *name)
{
    press(&s, key);
    press(&s, "<Ctrl-U>");
    paste(&s, name);
    press(&s, "<Enter>");
}

static const char *message(void)
{
    return sg_ui_say_message(s.ui);
}

/* The sheet as it is made without the screen, from the file. */
static void expected(struct sg_text *out, bool csv, enum sg_unit_system units)
{
    struct sg_error error;
    const struct sg_plan *plan;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    shop_must(sg_desk_plan(desk, 0, &plan, &error), &error);
    if (csv)
        sg_sheet_csv(out, sg_desk_shop(desk), plan, plan->first_job, 1,
                     &(struct sg_sheet_how){.units = units});
    else
        sg_sheet_text(out, sg_desk_shop(desk), plan, plan->first_job, SG_SHEET_WIDTH);
    sg_desk_close(desk);
}

static void ck_file_is(bool csv, enum sg_unit_system units)
{
    struct sg_text text = {0};
    struct file_bytes bytes = file_bytes_of(path);
    expected(&text, csv, units);
    ck_assert_uint_eq(bytes.size, text.length);
    ck_assert_int_eq(memcmp(bytes.at, text.data, text.length), 0);
    free(bytes.at);
    sg_text_free(&text);
}

/* Each line of a file stands on the screen. */
static void ck_lines_are_shown(const struct sg_text *text, const char *line_end)
{
    char line[2000];
    for (const char *at = text->data; *at;) {
        const char *end = strstr(at, line_end);
        ck_assert_ptr_nonnull(end);
        snprintf(line, sizeof line, "%.*s", (int)(end - at), at);
        ck_shows(&s, line);
        at = end + strlen(line_end);
    }
}

START_TEST(text_and_csv_are_shown_as_they_will_be_written)
{
    struct sg_text text = {0}, csv = {0};
    open_sheet();
    ck_row_has(&s, ANSWERS_ROW, "CSV of 2 part rows, no total row");
    expected(&text, false, SG_UNITS_US);
    expected(&csv, true, SG_UNITS_US);
    ck_lines_are_shown(&text, "\n");
    ck_lines_are_shown(&csv, "\r\n");
    sg_text_free(&text);
    sg_text_free(&csv);
}
END_TEST

START_TEST(e_writes_the_csv_and_t_the_text)
{
    char wrote[800];
    bool csv = _i == 0;
    open_sheet();
    press(&s, csv ? "E" : "T");
    ck_shows(&s, csv ? "CSV to file: 2601.csv" : "text to file: 2601.txt");
    press(&s, "<Esc>");
    ck_assert_int_ne(access(path, F_OK), 0);
    write_to(csv ? "E" : "T", path);
    snprintf(wrote, sizeof wrote, "wrote %s: %s in inches and pounds", path,
             csv ? "2 part rows" : "the job sheet of 2601");
    ck_assert_str_eq(message(), wrote);
    ck_file_is(csv, SG_UNITS_US);
}
END_TEST

START_TEST(m_changes_the_units_of_the_file)
{
    open_sheet();
    ck_shows(&s, "thickness_in");
    press(&s, "M");
    ck_shows(&s, "thickness_mm");
    ck_shows(&s, "lengths mm, masses kg");
    write_to("E", path);
    ck_assert_msg(strstr(message(), "in millimetres and kilograms"), "%s", message());
    ck_file_is(true, SG_UNITS_METRIC);
}
END_TEST

START_TEST(a_file_that_is_there_is_replaced_only_when_told)
{
    char mine[] = "mine";
    struct file_bytes old = {.at = mine, .size = 4};
    file_bytes_put(path, &old);
    open_sheet();
    write_to("E", path);
    ck_assert_msg(strstr(message(), "exists already"), "%s", message());
    ck_shows(&s, "replace sheet.csv? y, or Esc:");
    press(&s, _i == 0 ? "<Esc>" : _i == 1 ? "<Enter>" : _i == 2 ? "no<Enter>" : "y<Enter>");
    if (_i < 3) {
        ck_assert(file_bytes_are(path, &old));
        return;
    }
    ck_assert_msg(strstr(message(), "2 part rows in inches"), "%s", message());
    ck_file_is(true, SG_UNITS_US);
}
END_TEST

START_TEST(a_name_that_cannot_be_written_stays_to_be_mended)
{
    char nowhere[700];
    open_sheet();
    snprintf(nowhere, sizeof nowhere, "%s/no/such/folder.csv", s.file.folder);
    write_to("E", nowhere);
    ck_assert_msg(strstr(message(), "cannot write"), "%s", message());
    ck_shows(&s, "/no/such/folder.csv");
    press(&s, "<Ctrl-U>");
    paste(&s, path);
    press(&s, "<Enter>");
    ck_file_is(true, SG_UNITS_US);
    write_to("E", "-");
    ck_assert_msg(strstr(message(), "- is standard input and output"), "%s", message());
}
END_TEST

START_TEST(what_a_spreadsheet_would_run_or_change_is_told)
{
    struct sg_error error;
    struct sg_target target;
    struct sg_change change;
    static const char *const parts[] = {"1E5", "00417-3", "A7"};
    const char *name = "name==Spacer \"M8\"";
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_WRITE);
    for (int i = 0; i < 3; i++)
        shop_must(
            sg_desk_add(desk, SG_KIND_PART, "2601/1", parts[i], &name, i == 0, 0, &change, &target, &error),
            &error);
    sg_desk_close(desk);
    ck_assert(sg_ui_look(s.ui));
    open_sheet();
    ck_shows(&s, "CSV of 5 part rows");
    ck_shows(&s, "2601,1,1E5,\"'=Spacer \"\"M8\"\"\"");
    ck_shows(&s, "1 cell would be run by a spreadsheet and is guarded with an apostrophe ('=Spacer \"M8\")");
    ck_shows(&s, "2 cells of the column part may be changed by a spreadsheet (1E5, 00417-3)");
    ck_shows(&s, "with column 3 as text");
    ck_shows_not(&s, "of the column job");
}
END_TEST

START_TEST(nothing_is_told_of_cells_that_stay)
{
    open_sheet();
    ck_shows(&s, "Times are seconds as plain numbers, lengths in, masses lb");
    ck_shows_not(&s, "spreadsheet");
}
END_TEST

START_TEST(next_and_previous_are_the_other_jobs)
{
    open_sheet();
    press(&s, ">");
    ck_row_has(&s, TITLE_ROW, "JOB SHEET  2602");
    press(&s, "E");
    ck_shows(&s, "CSV to file: 2602.csv");
    press(&s, "<Esc>");
    press(&s, "<");
    ck_row_has(&s, TITLE_ROW, "JOB SHEET  2601");
}
END_TEST

START_TEST(a_job_that_went_to_another_shift_is_not_written)
{
    struct sg_error error;
    struct sg_target target;
    struct sg_change change;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_WRITE);
    shop_must(sg_desk_add(desk, SG_KIND_SHIFT, NULL, "B", NULL, 0, sg_date_days(2026, 12, 2), &change,
                          &target, &error),
              &error);
    sg_desk_close(desk);
    open_sheet();
    press(&s, "E<Ctrl-U>");
    paste(&s, path);
    other_sets(&s, "office", "2601", "shift=B");
    ck_assert(sg_ui_look(s.ui));
    press(&s, "<Enter>");
    ck_assert_msg(strstr(message(), "nothing is written"), "%s", message());
    ck_assert_int_ne(access(path, F_OK), 0);
    ck_shows(&s, "The job runs in another shift");
    press(&s, "E");
    ck_assert_msg(strstr(message(), "nothing to write"), "%s", message());
}
END_TEST

START_TEST(a_job_that_goes_while_a_name_is_typed_is_not_written)
{
    struct sg_error error;
    char mine[] = "mine";
    struct file_bytes old = {.at = mine, .size = 4};
    file_bytes_put(path, &old);
    open_sheet();
    write_to("E", path);
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_WRITE);
    shop_must(sg_desk_remove(desk, "2601", &error), &error);
    sg_desk_close(desk);
    ck_assert(sg_ui_look(s.ui));
    press(&s, "y<Enter>");
    ck_assert_msg(strstr(message(), "nothing is written"), "%s", message());
    ck_assert(file_bytes_are(path, &old));
}
END_TEST

/* Lines are parted once, at the width there is. */
START_TEST(the_preview_is_wrapped_at_its_own_width)
{
    press(&s, "go");
    sg_ui_resize(s.ui, 100, 70);
    ck_shows(&s, "Stock 1: aluminium 6061, 0.500 in, abrasive head, edge 3 medium, 2");
    ck_row_has(&s, row_with(&s, "Stock 1:") + 1, "    sheets 36.000 x 36.000 in");
    int caution = row_with(&s, "Aluminium 6061: fines");
    ck_row_has(&s, caution, "    Aluminium 6061: fines in the tank give off hydrogen, which burns");
    ck_row_has(&s, caution + 1, "      from 4 % in air: ventilate, never leave the tank closed");
}
END_TEST

START_TEST(columns_that_have_no_room_go_whole)
{
    press(&s, "go");
    sg_ui_resize(s.ui, 120, 60);
    ck_shows(&s, "Part  Name            Qty  Cut in all  Pierces all");
    ck_shows_not(&s, "Garnet lb");
    ck_shows(&s, "Columns at the right have no room");
    for (int rows = 1; rows < 30; rows += 4)
        for (int columns = 1; columns < 140; columns += 9) {
            sg_ui_resize(s.ui, rows, columns);
            press(&s, "jk");
        }
    sg_ui_resize(s.ui, 60, 120);
    ck_shows(&s, "Garnet lb");
    ck_shows_not(&s, "Columns at the right");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("job sheet screen");
    TCase *c = tcase_create("sheets");
    tcase_add_checked_fixture(c, open_shop, close_shop);
    tcase_add_test(c, text_and_csv_are_shown_as_they_will_be_written);
    tcase_add_loop_test(c, e_writes_the_csv_and_t_the_text, 0, 2);
    tcase_add_test(c, m_changes_the_units_of_the_file);
    tcase_add_loop_test(c, a_file_that_is_there_is_replaced_only_when_told, 0, 4);
    tcase_add_test(c, a_name_that_cannot_be_written_stays_to_be_mended);
    tcase_add_test(c, what_a_spreadsheet_would_run_or_change_is_told);
    tcase_add_test(c, nothing_is_told_of_cells_that_stay);
    tcase_add_test(c, next_and_previous_are_the_other_jobs);
    tcase_add_test(c, a_job_that_went_to_another_shift_is_not_written);
    tcase_add_test(c, a_job_that_goes_while_a_name_is_typed_is_not_written);
    tcase_add_test(c, the_preview_is_wrapped_at_its_own_width);
    tcase_add_test(c, columns_that_have_no_room_go_whole);
    suite_add_tcase(suite, c);
    return run(suite);
}
