/* `why` from outside: its numbers are those of `plan`, its formulas can be worked out from what it prints,
 * its lines fit a terminal. wcwidth is X/Open. */
#define _XOPEN_SOURCE 700

#include "cli/json.h"
#include "cli/run.h"

#include "store/store.h"
#include "support/formula.h"

#include <locale.h>
#include <wchar.h>

static const char *const of_stock[] = {
    "traverse",     "separation", "pierce",      "edge_cut",      "kerf",        "water",
    "jet_velocity", "jet_power",  "shaft_power", "loading_ratio", "garnet_feed", "sheets",
    "sheet_mass",   "slat_load",  "load",        "index_moves",   NULL};
static const char *const of_part[] = {"each", "cut",    "pierce",   "rapid", "garnet",
                                      "mass", "sheets", "traverse", NULL};
static const char *const of_job[] = {"starts", "ends",   "cut",  "pierce", "rapid",
                                     "garnet", "sheets", "late", NULL};
static const char *const of_shift[] = {"ends",     "over",    "cut",         "pierce", "rapid",
                                       "hands_on", "waiting", "garnet",      "water",  "energy",
                                       "bags",     "refills", "next_refill", "sheets", NULL};

/* ---- what is printed ---- */

/* Columns of the longest line. */
static int longest_line(const char *text)
{
    int longest = 0, column = 0;
    mbstate_t state = {0};
    wchar_t c;
    for (size_t n; *text; text += n) {
        n = mbrtowc(&c, text, strlen(text), &state);
        ck_assert_msg(n > 0 && n < (size_t)-2, "not UTF-8: %.40s", text);
        column = c == L'\n' ? 0 : column + (wcwidth(c) > 0 ? wcwidth(c) : 0);
        longest = column > longest ? column : longest;
    }
    return longest;
}

static void ck_text(const char *key, const char *name)
{
    struct ran ran = run("why", "-f", "shop.db", key, name, NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    ck_assert_msg(longest_line(ran.out) <= 100, "why %s %s is %d columns wide:\n%s", key, name,
                  longest_line(ran.out), ran.out);
    ck_says(ran.out, " = ");
    done(&ran);
}

/* ---- formulas out of JSON ---- */

enum { LINES = 400 };
struct line {
    int depth;
    char symbol[300], formula[200];
    double value; /* NaN: null or words */
    bool aside;
};
static struct line lines[LINES];
static int n_lines;

static void copy_column(sqlite3_stmt *query, int column, char *out, size_t size)
{
    const char *text = (const char *)sqlite3_column_text(query, column);
    snprintf(out, size, "%s", text ? text : "");
}

static void read_lines(const char *json)
{
    sqlite3_stmt *query = json_query("SELECT value ->> 'depth', value ->> 'symbol', value ->> 'formula', "
                                     "value ->> 'value', value ->> 'aside' FROM json_each(?1, '$.lines')",
                                     json, NULL);
    n_lines = 0;
    do {
        ck_assert_int_lt(n_lines, LINES);
        struct line *line = &lines[n_lines++];
        int type = sqlite3_column_type(query, 3);
        line->depth = sqlite3_column_int(query, 0);
        copy_column(query, 1, line->symbol, sizeof line->symbol);
        copy_column(query, 2, line->formula, sizeof line->formula);
        line->value =
            type == SQLITE_INTEGER || type == SQLITE_FLOAT ? sqlite3_column_double(query, 3) : (double)NAN;
        line->aside = sqlite3_column_int(query, 4);
    } while (sqlite3_step(query) == SQLITE_ROW);
    sqlite3_finalize(query);
}

static bool is_below(int above, int i)
{
    return lines[i].depth == lines[above].depth + 1 && !lines[i].aside;
}

static size_t symbol(void *context, const char *text, long double *value)
{
    int above = *(int *)context;
    size_t longest = 0;
    for (int i = above + 1; i < n_lines && lines[i].depth > lines[above].depth; i++) {
        size_t n = strlen(lines[i].symbol);
        if (is_below(above, i) && n > longest && strncmp(text, lines[i].symbol, n) == 0 &&
            !isalnum((unsigned char)text[n])) {
            longest = n;
            *value = (long double)lines[i].value;
        }
    }
    return longest;
}

static int formulas; /* worked out */

static void work_out(int above)
{
    struct formula f = {.symbol = symbol, .context = &above};
    long double found = 0, value = (long double)lines[above].value;
    if (!lines[above].formula[0] || isnan(lines[above].value))
        return;
    if (strcmp(lines[above].formula, "sum of its lines") == 0) {
        for (int i = above + 1; i < n_lines && lines[i].depth > lines[above].depth; i++)
            found += is_below(above, i) ? (long double)lines[i].value : 0;
    } else {
        found = formula_value(&f, lines[above].formula);
    }
    ck_assert_msg(fabsl(found - value) <= 1e-12L * fmaxl(fabsl(value), f.terms),
                  "%s = %s is %.17Lg, not %.17Lg", lines[above].symbol, lines[above].formula, value, found);
    formulas++;
}

/* The whole document; the caller frees it. */
static struct ran why_json(const char *key, const char *name)
{
    struct ran ran = run("why", "-f", "shop.db", key, name, "--json", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    ck_document(ran.out);
    ck_assert_str_eq(json_text(ran.out, "$.key"), key);
    ck_assert_str_eq(json_text(ran.out, "$.field"), name);
    read_lines(ran.out);
    return ran;
}

static void ck_json(const char *key, const char *name)
{
    struct ran ran = why_json(key, name);
    ck_assert_int_ge(n_lines, 1);
    ck_keys(
        ran.out, "$.lines[0]",
        "depth:integer name:text symbol:text formula:text? numbers:text? unit:text? basis:text? shown:text "
        "source:text? note:text? at:text? aside:bool from:text? field:text? more:text? origin:text? "
        "fresh:text? set_by:text? set_at:text? set_words:text?");
    ck_assert_str_eq(json_type(ran.out, "$.value"), json_type(ran.out, "$.lines[0].value"));
    for (int i = 0; i < n_lines; i++)
        work_out(i);
    done(&ran);
}

static void for_each(const char *key, const char *const *names, void (*check)(const char *, const char *))
{
    for (int i = 0; names[i]; i++)
        check(key, names[i]);
}

static const char *const stocks[] = {"2601/1", "2602/1", "2603/1", "2604/1", "2605/1", "2605/2"};
static const char *const parts[] = {"2601/1/A", "2601/1/B", "2602/1/A", "2603/1/A",
                                    "2604/1/B", "2605/1/A", "2605/2/A"};
static const char *const jobs[] = {"2601", "2602", "2603", "2604", "2605"};

static void all_of_the_example(void (*check)(const char *, const char *))
{
    for (size_t i = 0; i < sizeof stocks / sizeof *stocks; i++)
        for_each(stocks[i], of_stock, check);
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        for_each(parts[i], of_part, check);
    for (size_t i = 0; i < sizeof jobs / sizeof *jobs; i++)
        for_each(jobs[i], of_job, check);
    for_each("shift:A", of_shift, check);
}

START_TEST(every_number_of_the_example_is_told_in_a_hundred_columns)
{
    ck_done("example", "shop.db");
    all_of_the_example(ck_text);
}
END_TEST

START_TEST(every_formula_of_the_example_can_be_worked_out_from_the_document)
{
    ck_done("example", "shop.db");
    all_of_the_example(ck_json);
    ck_assert_int_gt(formulas, 600);
}
END_TEST

/* ---- the same numbers as the plan's ---- */

static void ck_root(const char *plan, const char *path, const char *key, const char *name)
{
    struct ran ran = why_json(key, name);
    const char *type = json_type(plan, path);
    if (strcmp(type, "null") == 0)
        ck_assert_str_eq(json_type(ran.out, "$.value"), "null");
    else if (strcmp(type, "text") == 0) /* a time of day, in milliseconds */
        ck_assert(fabs(json_number(ran.out, "$.value") + json_seconds(plan, "$.shift.starts_at") -
                       json_seconds(plan, path)) < 0.001);
    else
        ck_assert_msg(json_number(ran.out, "$.value") == json_number(plan, path),
                      "why %s %s is not %s of the plan", key, name, path);
    done(&ran);
}

START_TEST(the_roots_are_the_numbers_of_the_plan)
{
    static const struct {
        const char *path, *key, *name;
    } same[] = {
        {"$.jobs[1].stocks[0].traverse_mm_min", "2602/1", "traverse"},
        {"$.jobs[1].stocks[0].separation_mm_min", "2602/1", "separation"},
        {"$.jobs[1].stocks[0].edge_cut", "2602/1", "edge_cut"},
        {"$.jobs[3].stocks[0].pierce_s", "2604/1", "pierce"},
        {"$.jobs[3].stocks[0].sheets", "2604/1", "sheets"},
        {"$.jobs[3].stocks[0].sheet_mass_kg", "2604/1", "sheet_mass"},
        {"$.jobs[3].stocks[0].slat_load_kg_m2", "2604/1", "slat_load"},
        {"$.jobs[3].stocks[0].load_s", "2604/1", "load"},
        {"$.jobs[3].stocks[0].index_moves", "2604/1", "index_moves"},
        {"$.jobs[4].stocks[1].traverse_mm_min", "2605/2", "traverse"},
        {"$.jobs[4].stocks[1].edge_cut", "2605/2", "edge_cut"},
        {"$.jobs[2].stocks[0].parts[1].traverse_mm_min", "2603/1/B", "traverse"},
        {"$.jobs[2].stocks[0].parts[1].each_s", "2603/1/B", "each"},
        {"$.jobs[2].stocks[0].parts[1].cut_s", "2603/1/B", "cut"},
        {"$.jobs[2].stocks[0].parts[1].pierce_s", "2603/1/B", "pierce"},
        {"$.jobs[2].stocks[0].parts[1].rapid_s", "2603/1/B", "rapid"},
        {"$.jobs[2].stocks[0].parts[1].garnet_kg", "2603/1/B", "garnet"},
        {"$.jobs[2].stocks[0].parts[1].mass_kg", "2603/1/B", "mass"},
        {"$.jobs[2].stocks[0].parts[1].sheets", "2603/1/B", "sheets"},
        {"$.jobs[3].starts_at", "2604", "starts"},
        {"$.jobs[3].ends_at", "2604", "ends"},
        {"$.jobs[4].late_s", "2605", "late"},
        {"$.answers.ends_at", "shift:A", "ends"},
        {"$.answers.over_s", "shift:A", "over"},
        {"$.answers.next_refill_at", "shift:A", "next_refill"},
        {"$.totals.cut_s", "shift:A", "cut"},
        {"$.totals.pierce_s", "shift:A", "pierce"},
        {"$.totals.rapid_s", "shift:A", "rapid"},
        {"$.totals.hands_on_s", "shift:A", "hands_on"},
        {"$.totals.waiting_s", "shift:A", "waiting"},
        {"$.totals.garnet_kg", "shift:A", "garnet"},
        {"$.totals.water_l", "shift:A", "water"},
        {"$.totals.energy_kwh", "shift:A", "energy"},
        {"$.totals.bags", "shift:A", "bags"},
        {"$.totals.refills", "shift:A", "refills"},
        {"$.totals.sheets", "shift:A", "sheets"},
    };
    ck_done("example", "shop.db");
    struct ran plan = run("plan", "-f", "shop.db", "--json", NULL);
    for (size_t i = 0; i < sizeof same / sizeof *same; i++)
        ck_root(plan.out, same[i].path, same[i].key, same[i].name);
    done(&plan);
}
END_TEST

/* ---- fields ---- */

START_TEST(a_field_tells_what_it_holds_and_whether_it_was_changed)
{
    ck_done("example", "shop.db");
    struct ran ran = run("why", "-f", "shop.db", "head:abrasive", "pressure", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "head:abrasive: pressure = 55 ksi - head:abrasive pressure, fresh default");
    ck_says(ran.out, "pressure at the orifice");
    done(&ran);
    ck_done("set", "-f", "shop.db", "head:abrasive", "pressure=50ksi");
    ran = run("why", "-f", "shop.db", "2601/1", "traverse", NULL);
    ck_says(ran.out, "P, pressure = 344.738 MPa (50 ksi) - head:abrasive pressure, changed from 55 ksi");
    done(&ran);
    ran = why_json("head:abrasive", "pressure");
    ck_assert_str_eq(json_text(ran.out, "$.lines[0].origin"), "changed");
    ck_assert_str_eq(json_text(ran.out, "$.lines[0].fresh"), "55 ksi");
    ck_assert_str_eq(json_text(ran.out, "$.lines[0].shown"), "50 ksi");
    ck_assert_str_eq(json_text(ran.out, "$.lines[0].unit"), "MPa");
    ck_near((long double)json_number(ran.out, "$.value"), 50 * 6.894757293168361L, 1e-14L);
    done(&ran);
    ran = run("why", "-f", "shop.db", "2601/1", "thickness", NULL);
    ck_says(ran.out, "2601/1: thickness = 0.5 in - 2601/1 thickness, typed");
    done(&ran);
    ran = run("why", "-f", "shop.db", "2602", "note", NULL);
    ck_says(ran.out, "first flange to the customer's inspector");
    done(&ran);
}
END_TEST

/* Set the abrasive head's pressure as somebody else's program does who keeps with a note. */
static void keep_pressure(double mpa, const struct sg_step_note *note)
{
    struct sg_store *store;
    struct sg_arena arena = {0};
    struct sg_shop shop;
    struct sg_error error;
    const struct sg_field *field = sg_field_find(SG_KIND_HEAD, "pressure");
    ck_assert_int_eq(sg_store_open("shop.db", SG_STORE_WRITE, &store, &error), SG_OK);
    ck_assert_int_eq(sg_store_begin(store, &error), SG_OK);
    ck_assert_int_eq(sg_store_load(store, &arena, &shop, &error), SG_OK);
    shop.heads[0].pressure = mpa;
    ck_assert_int_eq(
        sg_store_update(store, SG_KIND_HEAD, shop.heads[0].row, &shop, &shop.heads[0], &field, 1, &error),
        SG_OK);
    ck_assert_int_eq(sg_store_keep(store, note, &error), SG_OK);
    sg_store_close(store);
    sg_arena_free(&arena);
}

START_TEST(who_set_a_field_when_and_how_is_told)
{
    /* 1796050800 is 2026-11-30 15:00 UTC: 20787 days of 86400 s and 54000 s */
    const struct sg_step_note note = {"ann", 20787 * 86400.0 + 54000, "pressure of head:abrasive: 55 -> 300"};
    ck_done("example", "shop.db");
    struct ran ran = why_json("2601/1", "separation");
    ck_assert_int_eq((int)json_ask(ran.out,
                                   "SELECT count(*) FROM json_each(?1, '$.lines') "
                                   "WHERE value ->> 'field' = 'pressure' AND value ->> 'set_by' IS NULL"),
                     1);
    done(&ran);
    keep_pressure(300, &note);
    ran = run("why", "-f", "shop.db", "head:abrasive", "pressure", NULL);
    ck_says(ran.out, "; set by ann, ");
    ck_says(ran.out, "15:00: pressure of head:abrasive: 55 -> 300");
    done(&ran);
    ran = why_json("2601/1", "separation");
    ck_assert_int_eq((int)json_ask(ran.out,
                                   "SELECT count(*) FROM json_each(?1, '$.lines') "
                                   "WHERE value ->> 'field' = 'pressure' AND value ->> 'set_by' = 'ann' "
                                   "AND value ->> 'set_at' = '2026-11-30T15:00:00.000+00:00' "
                                   "AND value ->> 'set_words' LIKE 'pressure of head%'"),
                     1);
    ck_assert_int_eq((int)json_ask(ran.out, "SELECT count(*) FROM json_each(?1, '$.lines') "
                                            "WHERE value ->> 'set_by' = 'ann'"),
                     1);
    done(&ran);
}
END_TEST

START_TEST(metric_and_us_shops_show_their_own_units)
{
    make_shop();
    ck_done("add", "job", "1", "-f", "shop.db");
    ck_done("add", "stock", "1", "-f", "shop.db", "material=mild steel", "thickness=10", "sheet_length=2000",
            "sheet_width=1000");
    struct ran ran = run("why", "-f", "shop.db", "1/1", "kerf", NULL);
    ck_says(ran.out, "kerf = 1.0668 mm");
    ck_says_not(ran.out, " in)");
    ck_says_not(ran.out, " in -");
    done(&ran);
}
END_TEST

START_TEST(an_unknown_name_or_row_is_refused_with_what_there_is)
{
    ck_done("example", "shop.db");
    ck_refused(2, "numbers traverse, separation, pierce", "why", "-f", "shop.db", "2601/1", "colour");
    ck_refused(2, "max_flow", "why", "-f", "shop.db", "machine:main", "colour");
    ck_refused(2, "next_refill", "why", "-f", "shop.db", "shift:A", "colour");
    ck_refused(3, "no job \"9999\"", "why", "-f", "shop.db", "9999", "ends");
    ck_refused(2, "usage: sandglass why KEY FIELD", "why", "-f", "shop.db", "2601");
    ck_refused(4, "no shop file", "why", "-f", "missing.db", "2601", "ends");
}
END_TEST

START_TEST(what_is_not_known_says_what_is_to_be_typed)
{
    make_shop();
    ck_done("add", "job", "1", "-f", "shop.db");
    ck_done("add", "stock", "1", "-f", "shop.db", "material=mild steel");
    ck_done("add", "part", "1/1", "A", "-f", "shop.db", "cut_length=500");
    struct ran ran = run("why", "-f", "shop.db", "shift:A", "ends", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "a part cannot be timed; not known before this is typed: thickness of 1/1");
    done(&ran);
    ran = why_json("1/1/A", "cut");
    ck_assert_str_eq(json_type(ran.out, "$.value"), "null");
    ck_says(json_text(ran.out, "$.lines[0].note"), "thickness of 1/1");
    done(&ran);
}
END_TEST

/* ---- whatever is typed ---- */

/* A text and n copies of a character behind it. */
static const char *many(char *out, const char *before, const char *character, int n)
{
    strcpy(out, before);
    for (int i = 0; i < n; i++)
        strcat(out, character);
    return out;
}

START_TEST(long_names_without_a_blank_never_make_a_line_too_long)
{
    char stock[100], part[700], job[80], wide[620], name[160], material[200], source[5100];
    make_shop();
    many(job, "", "J", 60);
    many(wide, "", "\xE6\xBC\xA2", 200); /* two columns each */
    ck_done("add", "material", many(name, "", "m", 150), "-f", "shop.db", many(source, "source=", "s", 5000),
            "machinability=100", "density=7000");
    ck_done("add", "job", job, "-f", "shop.db");
    ck_done("add", "stock", job, "-f", "shop.db", many(material, "material=", "m", 150), "thickness=10",
            "sheet_length=2000", "sheet_width=1000");
    snprintf(stock, sizeof stock, "%s/1", job);
    ck_done("add", "part", stock, wide, "-f", "shop.db", "cut_length=500", "length=200", "width=100",
            "quantity=50");
    snprintf(part, sizeof part, "%s/%s", stock, wide);
    for_each(stock, of_stock, ck_text);
    for_each(part, of_part, ck_text);
    for_each(job, of_job, ck_text);
    for_each("shift:A", of_shift, ck_text);
    ck_text(many(material, "material:", "m", 150), "source");
}
END_TEST

static void fill(TCase *tcase)
{
    setlocale(LC_CTYPE, "C.UTF-8");
    tcase_add_test(tcase, every_number_of_the_example_is_told_in_a_hundred_columns);
    tcase_add_test(tcase, every_formula_of_the_example_can_be_worked_out_from_the_document);
    tcase_add_test(tcase, the_roots_are_the_numbers_of_the_plan);
    tcase_add_test(tcase, a_field_tells_what_it_holds_and_whether_it_was_changed);
    tcase_add_test(tcase, who_set_a_field_when_and_how_is_told);
    tcase_add_test(tcase, metric_and_us_shops_show_their_own_units);
    tcase_add_test(tcase, an_unknown_name_or_row_is_refused_with_what_there_is);
    tcase_add_test(tcase, what_is_not_known_says_what_is_to_be_typed);
    tcase_add_test(tcase, long_names_without_a_blank_never_make_a_line_too_long);
}

int main(void)
{
    return run_suite("why", fill);
}
