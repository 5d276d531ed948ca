/* Rows added, doubled, taken out, put elsewhere and moved with the keys: each is one step that u takes back
 * whole. What is in the file is read by a desk of its own. */
#include "edit/run_suite.h"
#include "tui/facts.h"

static struct on_screen s;

static void open_example(void)
{
    s = on_screen_open(true);
    row(&s, 0);
}

static void close_screen(void)
{
    on_screen_close(&s);
}

/* The jobs in order of the run, the parts of a stock: "2601 2602 ...". */
static const char *jobs(void)
{
    static char out[2][400];
    static int which;
    which = 1 - which;
    out[which][0] = '\0';
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    const struct sg_shop *shop = sg_desk_shop(desk);
    for (int32_t i = 0; i < shop->n_jobs; i++) {
        ck_assert_int_eq(shop->jobs[i].order, i + 1);
        sprintf(out[which] + strlen(out[which]), "%s%.20s", i ? " " : "", shop->jobs[i].id);
    }
    sg_desk_close(desk);
    return out[which];
}

static const char *parts_of(const char *stock)
{
    static char out[2][400];
    static int which;
    which = 1 - which;
    out[which][0] = '\0';
    struct sg_error error;
    struct sg_target target;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    const struct sg_shop *shop = sg_desk_shop(desk);
    shop_must(sg_key_find(shop, stock, &target, &error), &error);
    const struct sg_stock *at = &shop->stocks[target.index];
    for (int32_t i = 0; i < at->n_parts; i++)
        sprintf(out[which] + strlen(out[which]), "%s%.20s", i ? " " : "", shop->parts[at->first_part + i].id);
    sg_desk_close(desk);
    return out[which];
}

/* "2601: name conveyor brackets" */
static const char *place(void)
{
    static char text[500];
    sg_ui_say_place(s.ui, text, sizeof text);
    return text;
}

#define ck_stands(on)                                                                                        \
    ck_assert_msg(strncmp(place(), (on), strlen(on)) == 0, "stands on \"%s\", not \"%s\"", place(), (on))

/* ---- jobs ---- */

/* Keys on the shift, the jobs that come of them, where one stands then. */
static const struct {
    const char *keys, *jobs, *stands, *said;
} on_jobs[] = {
    {"jd", "2601 2602 2602-2 2603 2604 2605", "2602-2: ", "1 job copied"},
    {" j kkkd", "2601 2602 2603 2601-2 2603-2 2604 2605", "2601-2: ", "2 jobs copied"},
    {"jx", "2601 2603 2604 2605", "2603: ", "1 job taken out.  p puts it below a row, u takes it back"},
    {"Gx", "2601 2602 2603 2604", "2604: ", "1 job taken out."},
    {" j kkkx", "2602 2604 2605", "2602: ", "2 jobs taken out.  p puts them below a row"},
    {"<Delete>", "2602 2603 2604 2605", "2602: ", "1 job taken out."},
    {"J", "2602 2601 2603 2604 2605", "2601: ", ""},
    {"GK", "2601 2602 2603 2605 2604", "2605: ", ""},
    {" j kkkJ", "2602 2601 2604 2603 2605", "2601: ", ""},
};
enum { ON_JOBS = sizeof on_jobs / sizeof *on_jobs };

START_TEST(a_key_on_jobs_is_one_step_and_u_takes_all_of_it_back)
{
    struct sg_desk *before = shop_file_desk(&s.file, SG_STORE_READ); /* shows what it read then */
    press(&s, on_jobs[_i].keys);
    ck_assert_str_eq(jobs(), on_jobs[_i].jobs);
    ck_stands(on_jobs[_i].stands);
    ck_row_has(&s, WORDS_ROW, on_jobs[_i].said);
    ck_assert_int_eq(steps_in_file(&s, NULL), 1);
    const struct facts facts = facts_of(&s, "2604/1/A", NULL, NULL); /* the plan shown is that of the file */
    ck_row_has(&s, ANSWERS_ROW, facts.ends_on);
    press(&s, "u");
    struct sg_desk *after = shop_file_desk(&s.file, SG_STORE_READ);
    const char *difference = shop_difference(sg_desk_shop(after), sg_desk_shop(before));
    ck_assert_msg(*difference == '\0', "%s", difference);
    sg_desk_close(after);
    sg_desk_close(before);
    press(&s, "<Ctrl-R>");
    ck_assert_str_eq(jobs(), on_jobs[_i].jobs);
}
END_TEST

START_TEST(at_the_ends_a_move_says_so_and_changes_nothing)
{
    press(&s, "K");
    ck_row_has(&s, WORDS_ROW, "2601 is first already");
    press(&s, "GJ");
    ck_row_has(&s, WORDS_ROW, "2605 is last already");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
}
END_TEST

START_TEST(what_is_taken_out_is_put_below_or_above)
{
    static const struct {
        const char *keys, *jobs;
    } puts[] = {
        {"xjp", "2602 2603 2601 2604 2605"},
        {"xjP", "2602 2601 2603 2604 2605"},
        {" j kkkxGp", "2602 2604 2605 2601 2603"},
        {"jyGp", "2601 2602 2603 2604 2605 2602-2"},
        {"yjppp", "2601 2602 2601-2 2601-3 2601-4 2603 2604 2605"}, /* below what was put */
    };
    press(&s, puts[_i].keys);
    ck_assert_str_eq(jobs(), puts[_i].jobs);
    ck_row_has(&s, WORDS_ROW, "u takes it back");
    ck_assert_int_eq(s.ui->n_marks, 0);
}
END_TEST

START_TEST(with_nothing_taken_there_is_nothing_to_put)
{
    press(&s, "p");
    ck_row_has(&s, WORDS_ROW, "Nothing taken yet: y copies rows, x takes them out.");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
}
END_TEST

/* ---- new rows ---- */

START_TEST(a_new_job_is_asked_for_its_key_and_can_be_typed_into)
{
    press(&s, "ja");
    ck_shows(&s, "number or name of the new job");
    ck_assert_str_eq(jobs(), "2601 2602 2603 2604 2605");
    press(&s, "<Esc>");
    ck_assert_str_eq(jobs(), "2601 2602 2603 2604 2605");
    press(&s, "a<Enter>"); /* what is offered: the next one */
    ck_assert_str_eq(jobs(), "2601 2602 2606 2603 2604 2605");
    ck_stands("2606: name");
    ck_row_has(&s, WORDS_ROW, "job 2606 added: type its values");
    press(&s, "hood<Tab><Esc>"); /* its first field is open already */
    ck_assert_str_eq(in_file(&s, "2606", "name"), "hood");
    press(&s, "anight work<Enter><Esc>"); /* what is typed replaces what is offered */
    ck_assert_str_eq(jobs(), "2601 2602 2606 night work 2603 2604 2605");
    press(&s, "uuu");
    ck_assert_str_eq(jobs(), "2601 2602 2603 2604 2605");
}
END_TEST

START_TEST(tab_goes_on_from_the_name_of_a_new_job)
{
    press(&s, "ja2610<Tab>wear plates<Tab>");
    ck_assert_str_eq(jobs(), "2601 2602 2610 2603 2604 2605");
    ck_assert_str_eq(in_file(&s, "2610", "name"), "wear plates");
    ck_stands("2610: customer");
    press(&s, "<Esc>:dup<Tab>"); /* a list is no field: nothing is taken */
    ck_assert_ptr_nonnull(s.ui->question);
    ck_row_has(&s, WORDS_ROW, "Enter takes it");
    press(&s, "<Esc>");
    ck_assert_str_eq(jobs(), "2601 2602 2610 2603 2604 2605");
}
END_TEST

START_TEST(a_key_that_is_taken_is_refused_with_a_sentence)
{
    press(&s, "a<Ctrl-U>2603<Enter>");
    ck_row_has(&s, WORDS_ROW, "2603");
    ck_assert_ptr_nonnull(s.ui->question); /* to be mended */
    press(&s, "x<Esc>");
    ck_assert_str_eq(jobs(), "2601 2602 2603 2604 2605");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
}
END_TEST

START_TEST(parts_and_sheets_are_added_to_the_job)
{
    press(&s, "<Enter>a<Enter>");
    ck_assert_str_eq(parts_of("2601/1"), "A C B");
    ck_stands("2601/1/C: ");
    press(&s, "<Esc>A");
    ck_stands("2601/2: material");
    ck_assert_str_eq(parts_of("2601/2"), "");
    ck_assert_int_eq(s.canvas.cells[row_with(&s, "> Material") * 80].text[0], '>'); /* in sight */
    press(&s, "<Esc>a<Enter>");
    ck_assert_str_eq(parts_of("2601/2"), "A");
    ck_assert_int_eq(steps_in_file(&s, NULL), 3);
}
END_TEST

/* ---- parts ---- */

START_TEST(parts_are_doubled_moved_taken_and_put_into_another_job)
{
    press(&s, "<Enter>d");
    ck_assert_str_eq(parts_of("2601/1"), "A A-2 B");
    press(&s, "J");
    ck_assert_str_eq(parts_of("2601/1"), "A B A-2");
    ck_stands("2601/1/A-2: ");
    press(&s, "ggG");
    press(&s, "x");
    ck_assert_str_eq(parts_of("2601/1"), "A B");
    press_stroke(&s, '>');
    ck_row_has(&s, TITLE_ROW, "JOB 2602");
    stand_on(&s, "2602/1/A", "quantity");
    press(&s, "p");
    ck_assert_str_eq(parts_of("2602/1"), "A A-2");
    ck_stands("2602/1/A-2: ");
    ck_assert_str_eq(in_file(&s, "2602/1/A-2", "quantity"), "20"); /* with its values */
    press(&s, "uuuu");
    ck_assert_str_eq(parts_of("2601/1"), "A B");
    ck_assert_str_eq(parts_of("2602/1"), "A");
}
END_TEST

START_TEST(sheets_are_doubled_with_their_parts)
{
    stand_on(&s, "2601/1", "thickness");
    press(&s, "d");
    ck_assert_str_eq(parts_of("2601/2"), "A B");
    ck_assert_str_eq(in_file(&s, "2601/2", "thickness"), "0.5 in");
    ck_row_has(&s, WORDS_ROW, "1 stock copied");
    press(&s, "u");
    ck_assert_int_eq(s.ui->kept.shop->jobs[0].n_stocks, 1);
}
END_TEST

START_TEST(rows_that_do_not_belong_there_are_refused)
{
    press(&s, "y<Enter>p"); /* a job put below a part */
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    ck_assert_str_ne(row(&s, WORDS_ROW), "");
    ck_assert_int_eq(s.wish, SG_WISH_BELL);
    press(&s, "y"); /* a part, put below a job */
    press(&s, "<Esc>p");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    ck_assert_int_eq(s.wish, SG_WISH_BELL);
}
END_TEST

START_TEST(the_last_job_taken_out_leaves_a_shift_that_can_be_filled_again)
{
    press(&s, "*x");
    ck_assert_str_eq(jobs(), "");
    ck_shows(&s, "No jobs in this shift yet");
    press(&s, "p");
    ck_assert_str_eq(jobs(), "2601 2602 2603 2604 2605");
    press(&s, "uu");
    ck_assert_str_eq(jobs(), "2601 2602 2603 2604 2605");
    ck_assert_int_eq(steps_in_file(&s, NULL), 4);
}
END_TEST

START_TEST(another_persons_change_between_does_not_move_the_wrong_row)
{
    press(&s, "jj"); /* on 2603, which another one moves to the front meanwhile */
    other_sets(&s, "office", "2603", "order=1");
    press(&s, "J");
    ck_assert_str_eq(jobs(), "2601 2603 2602 2604 2605");
    ck_stands("2603: ");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("row keys");
    TCase *tests = tcase_create("row keys");
    tcase_add_checked_fixture(tests, open_example, close_screen);
    tcase_add_loop_test(tests, a_key_on_jobs_is_one_step_and_u_takes_all_of_it_back, 0, ON_JOBS);
    tcase_add_test(tests, at_the_ends_a_move_says_so_and_changes_nothing);
    tcase_add_loop_test(tests, what_is_taken_out_is_put_below_or_above, 0, 5);
    tcase_add_test(tests, with_nothing_taken_there_is_nothing_to_put);
    tcase_add_test(tests, a_new_job_is_asked_for_its_key_and_can_be_typed_into);
    tcase_add_test(tests, tab_goes_on_from_the_name_of_a_new_job);
    tcase_add_test(tests, a_key_that_is_taken_is_refused_with_a_sentence);
    tcase_add_test(tests, parts_and_sheets_are_added_to_the_job);
    tcase_add_test(tests, parts_are_doubled_moved_taken_and_put_into_another_job);
    tcase_add_test(tests, sheets_are_doubled_with_their_parts);
    tcase_add_test(tests, rows_that_do_not_belong_there_are_refused);
    tcase_add_test(tests, the_last_job_taken_out_leaves_a_shift_that_can_be_filled_again);
    tcase_add_test(tests, another_persons_change_between_does_not_move_the_wrong_row);
    suite_add_tcase(suite, tests);
    return run(suite);
}
