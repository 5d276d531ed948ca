/* Help shows the table of actions whole, for the place from which it was asked for; what fits is answered
 * from plans made by another desk. */
#include "edit/run_suite.h"
#include "sandglass/ask.h"
#include "tui/facts.h"

static struct on_screen s;
static struct sg_error error;

static void open_shift(void)
{
    s = on_screen_open(true);
}

static void close_shift(void)
{
    on_screen_close(&s);
}

/* ---- help ---- */

enum { TALL = 200, WIDE = 250 };

static char lines[TALL][WIDE * 4];

static void read_lines(void)
{
    sg_ui_resize(s.ui, TALL, WIDE);
    for (int i = 0; i < TALL; i++)
        snprintf(lines[i], sizeof lines[i], "%s", i == 0 ? row(&s, 0) : "");
    for (int i = 1; i < TALL; i++)
        sg_canvas_row(&s.canvas, i, lines[i], sizeof lines[i]);
}

/* The line on which the keys of an action stand with its sentence; -1 where it is not there. */
static int line_of(const struct sg_action *action)
{
    char keys[80];
    snprintf(keys, sizeof keys, "%s%s ", action->keys[0] ? "" : ":",
             action->keys[0] ? action->keys : action->name);
    for (int i = 3; i < TALL; i++)
        if (strncmp(lines[i] + 2, keys, strlen(keys)) == 0 && strstr(lines[i], action->help))
            return i;
    return -1;
}

static int line_with(const char *words)
{
    for (int i = 3; i < TALL; i++)
        if (strstr(lines[i], words))
            return i;
    return -1;
}

START_TEST(price_and_trade_offs_are_named_on_the_line_of_keys_and_on_the_first_page)
{
    for (int i = 0; i < 2; i++) {
        press(&s, i ? "gj" : "gs");
        ck_row_has(&s, 23, "gq quote");
        ck_row_has(&s, 23, "gt trade");
        ck_row_has(&s, 23, "? help");
        press(&s, "?");
        ck_shows(&s, "q quote");
        ck_shows(&s, "t trade");
        press(&s, "<Esc>");
    }
    press(&s, "gh");
    ck_row_has_not(&s, 23, "gq quote");
}
END_TEST

static const struct {
    const char *keys;
    unsigned where;
} places[] = {
    {"", SG_ON_SHIFT},    {"gj", SG_ON_JOB},       {"gh", SG_ON_HOPPER},
    {"gp", SG_ON_SHEET},  {"go", SG_ON_JOB_SHEET}, {"W", SG_ON_WHAT_IF},
    {"U", SG_ON_HISTORY}, {"gm", SG_ON_FIELDS},    {"Ww", SG_ON_WHY},
};
enum { PLACES = sizeof places / sizeof *places };

START_TEST(each_action_stands_there_once_those_of_the_place_first)
{
    press(&s, places[_i].keys);
    press(&s, "?");
    read_lines();
    int values = line_with("Values");
    ck_assert_int_gt(values, 0);
    for (const struct sg_action *action = sg_actions; action->name; action++) {
        int at = line_of(action);
        ck_assert_msg(at > 0, "%s is not there", action->name);
        ck_assert_msg((at < values) == ((action->where & places[_i].where) != 0), "%s stands in row %d",
                      action->name, at);
    }
}
END_TEST

START_TEST(it_says_what_one_stands_on)
{
    const struct sg_field *field = sg_field_find(SG_KIND_PART, "quantity");
    char range[300];
    stand_on(&s, "2601/1/A", "quantity");
    sg_field_range(field, s.ui->kept.shop, range, sizeof range);
    press(&s, "?");
    ck_shows(&s, "You are on: quantity of 2601/1/A");
    ck_shows(&s, field->meaning);
    ck_shows(&s, range);
}
END_TEST

START_TEST(pages_turn_and_a_text_is_found)
{
    press(&s, "?");
    ck_shows(&s, "Page 1 of ");
    press(&s, "]");
    ck_shows(&s, "Page 2 of ");
    press(&s, "[");
    ck_shows(&s, "Page 1 of ");
    press(&s, "/usual caution<Enter>");
    ck_shows(&s, "> The usual caution: cutting, work at high pressure and at the hopper");
    press(&s, "<Esc>");
    ck_row_has(&s, TITLE_ROW, "SHIFT A");
}
END_TEST

START_TEST(a_page_down_shows_what_was_below)
{
    char last[400];
    press(&s, "?");
    snprintf(last, sizeof last, "%s", row(&s, 19) + 2);
    press(&s, "]");
    ck_assert_str_eq(row(&s, 4) + 2, last); /* one line before it is shown again */
}
END_TEST

/* ---- what fits ---- */

static int32_t index_of(const struct sg_shop *shop, const char *key)
{
    struct sg_target target;
    shop_must(sg_key_find(shop, key, &target, &error), &error);
    return target.index;
}

/* Whether a quantity of the part is finished before a time, by a plan of its own. */
static bool finished(const char *key, int64_t quantity, double by)
{
    char assignment[60];
    const char *texts[] = {assignment};
    struct sg_change change;
    const struct sg_plan *plan;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    snprintf(assignment, sizeof assignment, "quantity=%lld", (long long)quantity);
    shop_must(sg_desk_set(desk, key, texts, 1, false, &change, NULL, &error), &error);
    shop_must(sg_desk_plan(desk, 0, &plan, &error), &error);
    int32_t part = index_of(sg_desk_shop(desk), key);
    double at = -1;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        if (plan->run.events[i].kind == SG_EVENT_CUT && plan->batches[plan->run.events[i].batch].part == part)
            at = plan->run.events[i].at + plan->run.events[i].seconds;
    sg_desk_close(desk);
    return at >= 0 && at <= by;
}

/* Refills and stops between cuts of the part, with that quantity. */
static int refills_within(const char *key, int64_t quantity)
{
    char assignment[60];
    const char *texts[] = {assignment};
    struct sg_change change;
    const struct sg_plan *plan;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    snprintf(assignment, sizeof assignment, "quantity=%lld", (long long)quantity);
    shop_must(sg_desk_set(desk, key, texts, 1, false, &change, NULL, &error), &error);
    shop_must(sg_desk_plan(desk, 0, &plan, &error), &error);
    int32_t part = index_of(sg_desk_shop(desk), key);
    int waiting = 0, n = 0; /* since the part's first cut, and before a later one of it */
    bool begun = false;
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        bool cut = e->kind == SG_EVENT_CUT && plan->batches[e->batch].part == part;
        n = cut ? n + waiting : n;
        waiting = cut ? 0 : waiting + (begun && e->kind == SG_EVENT_REFILL);
        begun = begun || cut;
    }
    sg_desk_close(desk);
    return n;
}

/* The number in front of words in the two lines above the keys, which may part there. */
static long long number_before(const char *words)
{
    static char text[500];
    snprintf(text, sizeof text, "%s %s", row(&s, WORDS_ROW), row(&s, ACCEPTED_ROW));
    const char *at = strstr(text, words);
    ck_assert_msg(at, "\"%s\" is not in: %s", words, text);
    for (at--; at > text && at[-1] >= '0' && at[-1] <= '9';)
        at--;
    return strtoll(at, NULL, 10);
}

static const struct {
    const char *key, *before;
    double by; /* s after 06:00 */
} limits[] = {
    {"2601/1/A", "before the break 09:30", 3.5 * 3600}, {"2601/1/A", "before the break 12:00", 6 * 3600},
    {"2601/1/A", "before the end 14:30", 8.5 * 3600},   {"2602/1/A", "before the break 09:30", 3.5 * 3600},
    {"2603/1/B", "before the end 14:30", 8.5 * 3600},   {"2604/1/A", "before the end 14:30", 8.5 * 3600},
};
enum { LIMITS = sizeof limits / sizeof *limits };

START_TEST(as_many_fit_as_are_finished_and_one_more_is_not)
{
    stand_on(&s, limits[_i].key, "quantity");
    press(&s, "f");
    long long n = number_before(limits[_i].before);
    ck_assert_int_gt(n, 0);
    ck_assert(finished(limits[_i].key, n, limits[_i].by));
    ck_assert(!finished(limits[_i].key, n + 1, limits[_i].by));
}
END_TEST

static const char *const garnet_parts[] = {"2601/1/A", "2602/1/A", "2603/1/A", "2604/1/B"};

START_TEST(as_many_need_no_refill_and_one_more_does)
{
    stand_on(&s, garnet_parts[_i], "quantity");
    press(&s, "f");
    long long n = number_before("before it needs a refill");
    ck_assert_int_eq(refills_within(garnet_parts[_i], n), 0);
    ck_assert_int_gt(refills_within(garnet_parts[_i], n + 1), 0);
}
END_TEST

START_TEST(asking_changes_nothing_and_water_needs_no_garnet)
{
    const struct file_bytes before = file_bytes_of(s.file.path);
    const double ends = s.ui->kept.plan->ends;
    stand_on(&s, "2605/2/A", "quantity");
    press(&s, "f");
    ck_row_has(&s, WORDS_ROW, "2605/2/A, 40 planned. It fits: ");
    ck_row_has_not(&s, WORDS_ROW, "refill");
    ck_row_has_not(&s, ACCEPTED_ROW, "refill");
    ck_assert(s.ui->kept.plan->ends == ends);
    ck_assert(file_bytes_are(s.file.path, &before));
    free(before.at);
}
END_TEST

/* Sheets that the stock takes where it has so many of the part alone. */
static long long sheets_with(const char *key, const char *stock_key, long long quantity)
{
    char assignment[60];
    const char *texts[] = {assignment};
    struct sg_change change;
    struct sg_target stock;
    const struct sg_plan *plan;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    const struct sg_shop *shop = sg_desk_shop(desk);
    shop_must(sg_key_find(shop, stock_key, &stock, &error), &error);
    int32_t first = shop->stocks[stock.index].first_part, n = shop->stocks[stock.index].n_parts;
    for (int32_t i = first; i < first + n; i++) {
        char one[300];
        sg_key_write(sg_desk_shop(desk), (struct sg_target){SG_KIND_PART, i}, one, sizeof one);
        snprintf(assignment, sizeof assignment, "quantity=%lld", strcmp(one, key) == 0 ? quantity : 0);
        shop_must(sg_desk_set(desk, one, texts, 1, false, &change, NULL, &error), &error);
    }
    shop_must(sg_desk_plan(desk, 0, &plan, &error), &error);
    long long sheets = plan->stocks[stock.index - plan->first_stock].sheets;
    sg_desk_close(desk);
    return sheets;
}

START_TEST(a_sheet_holds_what_fits_on_it_whatever_is_ordered)
{
    static const struct {
        const char *key, *stock, *quantity;
    } parts[] = {{"2602/1/A", "2602/1", NULL}, {"2602/1/A", "2602/1", "2"}, {"2601/1/B", "2601/1", "500"}};
    stand_on(&s, parts[_i].key, "quantity");
    if (parts[_i].quantity) {
        press(&s, "e<Ctrl-U>");
        press(&s, parts[_i].quantity);
        press(&s, "<Enter>");
        stand_on(&s, parts[_i].key, "quantity");
    }
    press(&s, "f");
    const struct sg_plan *plan = s.ui->kept.plan;
    int32_t part = index_of(s.ui->kept.shop, parts[_i].key);
    long long pieces = number_before("on one sheet");
    ck_assert_int_ge(pieces, plan->parts[part - plan->first_part].per_sheet);
    ck_assert_int_eq(sheets_with(parts[_i].key, parts[_i].stock, pieces), 1);
    ck_assert_int_eq(sheets_with(parts[_i].key, parts[_i].stock, pieces + 1), 2);
}
END_TEST

/* What has no room ends with whole words and three dots, and is whole in help. */
START_TEST(a_sentence_that_is_cut_is_whole_in_help)
{
    char watch[300], help[2000] = "";
    other_sets(&s, "office", "2601/1/A", "cut_length=none");
    ck_assert(sg_ui_look(s.ui));
    press(&s, "gg");
    snprintf(watch, sizeof watch, "%s", row(&s, ACCEPTED_ROW));
    size_t length = strlen(watch);
    ck_assert_msg(length <= 80 && length > 60 && strcmp(watch + length - 3, "...") == 0, "%s", watch);
    ck_row_has(&s, ACCEPTED_ROW, "2601/1/A: no cut length: its cutting is in no total and the end is not");
    press(&s, "?");
    for (int i = 3; i < 7; i++)
        snprintf(help + strlen(help), sizeof help - strlen(help), "%s ", row(&s, i) + 2 + (i > 3 ? 2 : 0));
    ck_assert_msg(strstr(help, "In full: 2601/1/A: no cut length") && strstr(help, "outline to a drawing"),
                  "%s", help);
    press(&s, "<Esc>");
    sg_ui_resize(s.ui, 24, 200); /* now it has room */
    ck_row_has(&s, ACCEPTED_ROW, "outline to a drawing");
    press(&s, "?");
    ck_shows_not(&s, "In full:");
}
END_TEST

START_TEST(a_job_of_several_parts_is_asked_part_by_part)
{
    press(&s, "f");
    ck_row_has(&s, WORDS_ROW, "stand on a part");
    press(&s, "jf");
    ck_row_has(&s, WORDS_ROW, "2602/1/A, 12 planned");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("help screen");
    TCase *tcase = tcase_create("help screen");
    tcase_add_checked_fixture(tcase, open_shift, close_shift);
    tcase_add_test(tcase, price_and_trade_offs_are_named_on_the_line_of_keys_and_on_the_first_page);
    tcase_add_loop_test(tcase, each_action_stands_there_once_those_of_the_place_first, 0, PLACES);
    tcase_add_test(tcase, it_says_what_one_stands_on);
    tcase_add_test(tcase, pages_turn_and_a_text_is_found);
    tcase_add_test(tcase, a_page_down_shows_what_was_below);
    tcase_add_loop_test(tcase, as_many_fit_as_are_finished_and_one_more_is_not, 0, LIMITS);
    tcase_add_loop_test(tcase, as_many_need_no_refill_and_one_more_does, 0, 4);
    tcase_add_test(tcase, asking_changes_nothing_and_water_needs_no_garnet);
    tcase_add_loop_test(tcase, a_sheet_holds_what_fits_on_it_whatever_is_ordered, 0, 3);
    tcase_add_test(tcase, a_sentence_that_is_cut_is_whole_in_help);
    tcase_add_test(tcase, a_job_of_several_parts_is_asked_part_by_part);
    suite_add_tcase(suite, tcase);
    return run(suite);
}
