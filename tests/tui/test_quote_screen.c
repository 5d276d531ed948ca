/* The price of a job on the screen: what another desk makes of the same file, what is lacking and where it is
 * typed, and files that are written whole or not at all. */
#include "edit/run_suite.h"
#include "exchange/quote_render.h"
#include "tui/facts.h"

static struct on_screen s;
static struct sg_error error;
static char path[600];

static void open_shop(void)
{
    s = on_screen_open(true);
    snprintf(path, sizeof path, "%s/quote.out", s.file.folder);
}

static void close_shop(void)
{
    unlink(path);
    on_screen_close(&s);
}

/* ---- the same by another desk ---- */

static int32_t today(void)
{
    time_t now = time(NULL);
    const struct tm *local = localtime(&now);
    return sg_date_days(local->tm_year + 1900, local->tm_mon + 1, local->tm_mday);
}

enum form { CSV, TEXT, CUSTOMER };

/* Of the job with that index, with the prices of these quantities. */
static void expected(struct sg_text *out, enum form form, int32_t job, const int64_t *sets, int n)
{
    struct sg_planner *planner = sg_planner_new();
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    const struct sg_shop *shop = sg_desk_shop(desk);
    struct sg_price_break breaks[8];
    struct sg_arena arena = {0};
    struct sg_quote quote;
    shop_must(sg_quote_make(planner, shop, job, &shop->rates, &arena, &quote, &error), &error);
    shop_must(sg_quote_breaks(planner, shop, job, &shop->rates, sets, n, breaks, &error), &error);
    const struct sg_quote_view view = {
        .shop = shop, .quote = &quote, .breaks = breaks, .n_breaks = n, .today = today()};
    if (form == CSV)
        sg_quote_csv(out, &view, shop->units);
    else if (form == TEXT)
        sg_quote_text(out, &view);
    else
        sg_quote_customer_text(out, &view);
    sg_arena_free(&arena);
    sg_planner_free(planner);
    sg_desk_close(desk);
}

/* Twenty and thirty-six pieces are four sets. */
static const int64_t usual[] = {1, 4, 10, 100, 1000};

static void ck_lines_are_shown(const struct sg_text *text)
{
    char line[2000];
    for (const char *at = text->data; *at; at += strcspn(at, "\n") + 1) {
        snprintf(line, sizeof line, "%.*s", (int)strcspn(at, "\n"), at);
        ck_shows(&s, line);
    }
}

/* Until nothing is left to compute. */
static void settle(void)
{
    for (int i = 0; i < 100 && sg_ui_idle(s.ui); i++)
        sg_ui_draw(s.ui, &s.canvas);
}

static void open_quote(void)
{
    press(&s, "gq");
    sg_ui_resize(s.ui, 200, 140);
    ck_shows(&s, "QUOTE  job 2601");
    settle();
}

static const char *message(void)
{
    return sg_ui_say_message(s.ui);
}

static void write_to(const char *key, const char *name)
{
    press(&s, key);
    press(&s, "<Ctrl-U>");
    paste(&s, name);
    press(&s, "<Enter>");
}

static void set(const char *key, const char *assignment)
{
    other_sets(&s, "office", key, assignment);
    ck_assert(sg_ui_look(s.ui));
}

static void no_rates(void)
{
    static const char *const names[] = {"machine", "labour",  "power", "water",   "garnet", "disposal",
                                        "tube",    "orifice", "setup", "mark_up", "margin", "minimum"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char assignment[40];
        snprintf(assignment, sizeof assignment, "%s=none", names[i]);
        other_sets(&s, "office", "rates:shop", assignment);
    }
    sg_ui_look(s.ui);
}

/* ---- what is shown ---- */

START_TEST(it_is_what_another_desk_makes_of_the_file)
{
    struct sg_text text = {0};
    expected(&text, TEXT, 0, usual, 5);
    open_quote();
    ck_lines_are_shown(&text);
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    sg_text_free(&text);
}
END_TEST

START_TEST(the_action_has_a_name)
{
    press(&s, ":go-quote<Enter>");
    ck_row_has(&s, TITLE_ROW, "QUOTE  job 2601  conveyor brackets");
    press(&s, ":quote-rates<Enter>");
    ck_row_has(&s, TITLE_ROW, "ALL FIELDS of rates:shop");
}
END_TEST

START_TEST(a_rate_that_another_changes_makes_another_price)
{
    struct sg_text before = {0}, after = {0};
    expected(&before, TEXT, 0, usual, 5);
    open_quote();
    set("rates:shop", "machine=500");
    sg_ui_draw(s.ui, &s.canvas);
    settle();
    expected(&after, TEXT, 0, usual, 5);
    ck_assert_str_ne(before.data, after.data);
    ck_lines_are_shown(&after);
    sg_text_free(&before);
    sg_text_free(&after);
}
END_TEST

START_TEST(a_rate_is_typed_with_three_columns_and_the_quote_is_new)
{
    struct sg_text after = {0};
    open_quote();
    press(&s, "<Enter>");
    ck_shows(&s, "ALL FIELDS of rates:shop");
    while (strcmp(sg_ui_column(s.ui)->field, "machine") != 0)
        press(&s, "j");
    press(&s, "77");
    ck_shows(&s, "in plan      typed      change");
    ck_shows(&s, "DRAFT, not yet in plan");
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "rates:shop", "machine"), "77 /h");
    press(&s, "<Esc>");
    ck_shows(&s, "QUOTE  job 2601");
    settle();
    expected(&after, TEXT, 0, usual, 5);
    ck_lines_are_shown(&after);
    sg_text_free(&after);
}
END_TEST

START_TEST(other_jobs_are_next_and_previous)
{
    struct sg_text text = {0};
    static const int64_t sets[] = {1, 10, 12, 100, 1000};
    open_quote();
    press(&s, ">");
    ck_shows(&s, "QUOTE  job 2602");
    settle();
    expected(&text, TEXT, 1, sets, 5);
    ck_lines_are_shown(&text);
    press(&s, "<");
    ck_shows(&s, "QUOTE  job 2601");
    sg_text_free(&text);
}
END_TEST

/* The same in the end, whether it took a moment or not. */
START_TEST(price_breaks_follow_where_they_take_long)
{
    static const int64_t sets[] = {1, 4, 10, 100};
    struct sg_text text = {0};
    other_sets(&s, "office", "2601/1/A", "quantity=40000");
    other_sets(&s, "office", "2601/1/B", "quantity=36");
    ck_assert(sg_ui_look(s.ui));
    press(&s, "gq");
    sg_ui_resize(s.ui, 200, 140);
    sg_ui_draw(s.ui, &s.canvas);
    bool follows = row_with(&s, "Price breaks follow") >= 0;
    ck_assert_int_eq(follows, row_with(&s, "Price by quantity") < 0);
    settle();
    ck_shows_not(&s, "Price breaks follow");
    expected(&text, TEXT, 0, sets, 4); /* ten thousand of A are in a set: of a thousand nothing is said */
    ck_lines_are_shown(&text);
    ck_shows_not(&s, "No price of");
    sg_text_free(&text);
}
END_TEST

START_TEST(a_reader_hears_all_of_it_at_once)
{
    struct sg_text text = {0};
    on_screen_stop(&s);
    s.canvas = (struct sg_canvas){0};
    on_screen_start(&s, &(struct sg_ui_how){.path = s.file.path, .spoken = true}, 200, 140);
    press(&s, "gq");
    ck_assert(sg_ui_is_text(s.ui));
    expected(&text, TEXT, 0, usual, 5);
    ck_lines_are_shown(&text);
    ck_assert(!sg_ui_idle(s.ui));
    sg_text_free(&text);
}
END_TEST

/* ---- what is lacking ---- */

START_TEST(without_rates_there_is_no_price_and_enter_goes_where_they_are_typed)
{
    no_rates();
    press(&s, "gq");
    ck_shows(&s, "No rates are set, so nothing has a price yet. Enter goes to the rates");
    press(&s, "E");
    ck_assert_msg(strstr(message(), "there is no price: there is nothing to write"), "%s", message());
    press(&s, "<Enter>");
    ck_row_has(&s, TITLE_ROW, "ALL FIELDS of rates:shop");
}
END_TEST

static void to_line(const char *words)
{
    press(&s, "gg");
    for (int i = 0; i < 200; i++) {
        const struct sg_line *line = sg_ui_line(s.ui);
        if (line && strstr(line->text, words))
            return;
        press(&s, "j");
    }
    ck_abort_msg("no line has %s", words);
}

static void ck_enter_goes_to(const char *line, const char *title, const char *field)
{
    to_line(line);
    press(&s, "<Enter>");
    ck_shows(&s, title);
    ck_assert_str_eq(sg_ui_column(s.ui)->field, field);
    press(&s, "<Esc>");
    ck_shows(&s, "QUOTE  job");
}

START_TEST(enter_on_what_is_not_known_goes_to_its_field)
{
    other_sets(&s, "office", "rates:shop", "garnet=none");
    other_sets(&s, "office", "2605/1", "sheet_price=none");
    other_sets(&s, "office", "2605/2", "sheet_price=none");
    ck_assert(sg_ui_look(s.ui));
    open_quote();
    ck_shows(&s, "NOT THE WHOLE PRICE: without garnet");
    ck_enter_goes_to("the garnet: ", "ALL FIELDS of rates:shop", "garnet");
    press(&s, ">>>>");
    ck_shows(&s, "QUOTE  job 2605");
    ck_enter_goes_to("set 2605/2", "ALL FIELDS of 2605/2", "sheet_price");
    ck_enter_goes_to("set 2605/1", "ALL FIELDS of 2605/1", "sheet_price");
}
END_TEST

START_TEST(a_job_without_pieces_says_what_it_needs)
{
    other_sets(&s, "office", "2602/1/A", "quantity=0");
    ck_assert(sg_ui_look(s.ui));
    press(&s, "jgq");
    ck_shows(&s, "No price: job 2602 has no pieces to price");
}
END_TEST

/* ---- files ---- */

START_TEST(e_writes_the_csv_t_the_text_and_ctrl_t_the_part_for_the_customer)
{
    static const struct {
        const char *key, *asked;
    } forms[] = {[CSV] = {"E", "CSV to file: quote-2601.csv"},
                 [TEXT] = {"T", "text to file: quote-2601.txt"},
                 [CUSTOMER] = {"<Ctrl-T>", "for the customer, to file: customer-2601.txt"}};
    struct sg_text text = {0};
    open_quote();
    press(&s, forms[_i].key);
    ck_shows(&s, forms[_i].asked);
    press(&s, "<Esc>");
    write_to(forms[_i].key, path);
    ck_assert_msg(strstr(message(), "the quote of job 2601"), "%s", message());
    expected(&text, (enum form)_i, 0, usual, 5);
    struct file_bytes bytes = file_bytes_of(path);
    ck_assert_uint_eq(bytes.size, text.length);
    ck_assert_int_eq(memcmp(bytes.at, text.data, text.length), 0);
    free(bytes.at);
    sg_text_free(&text);
}
END_TEST

START_TEST(a_file_that_is_there_is_replaced_only_when_told)
{
    char mine[] = "mine";
    struct file_bytes old = {.at = mine, .size = 4};
    file_bytes_put(path, &old);
    open_quote();
    write_to("T", path);
    ck_shows(&s, "replace quote.out? y, or Esc:");
    press(&s, _i == 0 ? "<Esc>" : _i == 1 ? "n<Enter>" : "y<Enter>");
    ck_assert_int_eq(file_bytes_are(path, &old), _i < 2);
}
END_TEST

START_TEST(a_job_that_goes_while_a_name_is_typed_is_not_written)
{
    open_quote();
    press(&s, "E<Ctrl-U>");
    paste(&s, path);
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_WRITE);
    shop_must(sg_desk_remove(desk, "2601", &error), &error);
    sg_desk_close(desk);
    ck_assert(sg_ui_look(s.ui));
    press(&s, "<Enter>");
    ck_assert_msg(strstr(message(), "nothing is written"), "%s", message());
    ck_assert_int_ne(access(path, F_OK), 0);
}
END_TEST

/* The cells of a table's rows, by the text as it is written without a terminal. */
START_TEST(no_figure_of_a_table_is_parted_where_it_is_narrow)
{
    static const int widths[] = {60, 50, 40};
    struct sg_text text = {0};
    char line[2000];
    expected(&text, TEXT, 0, usual, 5);
    open_quote();
    sg_ui_resize(s.ui, 200, widths[_i]);
    sg_ui_draw(s.ui, &s.canvas); /* priced anew */
    settle();
    for (const char *at = text.data; *at; at += strcspn(at, "\n") + 1) {
        snprintf(line, sizeof line, "%.*s", (int)strcspn(at, "\n"), at);
        for (char *cell = line, *gap; *line != ' ' && strstr(line, "  ") && *cell;
             cell = gap + strspn(gap, " ")) {
            gap = strstr(cell, "  ");
            gap = gap ? gap : cell + strlen(cell);
            char end = *gap;
            *gap = '\0';
            ck_shows(&s, cell);
            *gap = end;
        }
    }
    sg_text_free(&text);
}
END_TEST

START_TEST(it_is_drawn_at_any_size)
{
    press(&s, "gq");
    for (int rows = 1; rows < 40; rows += 3)
        for (int columns = 1; columns < 130; columns += 11) {
            sg_ui_resize(s.ui, rows, columns);
            press(&s, "j]kG");
            ck_assert_int_eq(s.canvas.rows, rows);
        }
    sg_ui_resize(s.ui, 20, 60);
    ck_row_has(&s, TITLE_ROW, "QUOTE  job 2601");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("quote screen");
    TCase *c = tcase_create("quotes");
    tcase_add_checked_fixture(c, open_shop, close_shop);
    tcase_add_test(c, it_is_what_another_desk_makes_of_the_file);
    tcase_add_test(c, the_action_has_a_name);
    tcase_add_test(c, a_rate_that_another_changes_makes_another_price);
    tcase_add_test(c, a_rate_is_typed_with_three_columns_and_the_quote_is_new);
    tcase_add_test(c, other_jobs_are_next_and_previous);
    tcase_add_test(c, price_breaks_follow_where_they_take_long);
    tcase_add_test(c, a_reader_hears_all_of_it_at_once);
    tcase_add_test(c, without_rates_there_is_no_price_and_enter_goes_where_they_are_typed);
    tcase_add_test(c, enter_on_what_is_not_known_goes_to_its_field);
    tcase_add_test(c, a_job_without_pieces_says_what_it_needs);
    tcase_add_loop_test(c, e_writes_the_csv_t_the_text_and_ctrl_t_the_part_for_the_customer, 0, 3);
    tcase_add_loop_test(c, a_file_that_is_there_is_replaced_only_when_told, 0, 3);
    tcase_add_test(c, a_job_that_goes_while_a_name_is_typed_is_not_written);
    tcase_add_loop_test(c, no_figure_of_a_table_is_parted_where_it_is_narrow, 0, 3);
    tcase_add_test(c, it_is_drawn_at_any_size);
    suite_add_tcase(suite, c);
    return run(suite);
}
