/* quote: prices that add up to the cent in every form, and are the rates on what the plan says. */
#include "cli/quotes.h"

static const char *const rows[] = {"machine", "labour",  "power",    "water", "garnet",  "disposal",
                                   "tube",    "orifice", "material", "setup", "mark_up", "minimum"};
enum { ROWS = sizeof rows / sizeof *rows };

/* ---- adding up ---- */

static long long total_of_csv(void)
{
    struct ran ran = quote("--csv", 0);
    struct csv csv;
    long long total = 0;
    csv_read(ran.out, ',', &csv);
    ck_assert_int_eq(csv.rows, 4); /* no total row */
    for (int row = 1; row < csv.rows; row++) {
        long long price = cents(csv_at(&csv, row, "price")), sum = 0;
        for (int i = 0; i < ROWS; i++) {
            char title[40];
            snprintf(title, sizeof title, "%s_price", rows[i]);
            sum += cents(csv_at(&csv, row, title));
        }
        ck_assert_int_eq(sum, price);
        ck_assert_int_eq(atoll(csv_at(&csv, row, "quantity")) * cents(csv_at(&csv, row, "each")) +
                             atoll(csv_at(&csv, row, "a_cent_dearer")),
                         price);
        ck_assert_str_eq(csv_at(&csv, row, "known"), csv_at(&csv, row, "price"));
        ck_assert_str_eq(csv_at(&csv, row, "without"), "");
        total += price;
    }
    csv_free(&csv);
    done(&ran);
    return total;
}

/* Both as amounts, summed in whole cents after rounding away the binary, and as cents. */
static long long total_of_json(void)
{
    struct ran ran = quote("--json", 0);
    ck_document(ran.out);
    const long long total = (long long)json_number(ran.out, "$.price_cents");
    ck_assert(json_number(ran.out, "$.price") == (double)total / 100);
    ck_assert_str_eq(json_type(ran.out, "$.whole"), "true");
    ck_assert(
        json_ask(ran.out, "SELECT sum(json_extract(value, '$.price_cents')) FROM json_each(?1, '$.parts')") ==
        (double)total);
    for (int i = 0; i < ROWS; i++) {
        char path[80], sql[200];
        snprintf(path, sizeof path, "$.rows.%s_cents", rows[i]);
        snprintf(sql, sizeof sql, "SELECT sum(json_extract(value, '%s')) FROM json_each(?1, '$.parts')",
                 path);
        ck_assert(json_ask(ran.out, sql) == json_number(ran.out, path));
    }
    ck_assert(json_ask(ran.out, "SELECT sum(value) FROM json_each(?1, '$.rows') WHERE key LIKE '%_cents'") ==
              (double)total);
    ck_assert(json_ask(ran.out,
                       "SELECT sum(CAST(round(value * 100) AS INTEGER)) FROM json_each(?1, '$.rows') "
                       "WHERE key NOT LIKE '%_cents'") == (double)total);
    for (int i = 0; i < json_count(ran.out, "$.breaks"); i++) {
        char sql[300], path[80];
        snprintf(sql, sizeof sql,
                 "SELECT sum(value) FROM json_each(?1, '$.breaks[%d].causes') WHERE key LIKE '%%_cents'", i);
        snprintf(path, sizeof path, "$.breaks[%d].price_cents", i);
        ck_assert(json_ask(ran.out, sql) == json_number(ran.out, path));
    }
    done(&ran);
    return total;
}

/* The last amount of a line, but for words behind it. */
static long long amount_in(const char *line, const char *end)
{
    char last[40] = "";
    while (line < end) {
        size_t n = strcspn(line, " \n");
        char word[40];
        snprintf(word, sizeof word, "%.*s", (int)n, line);
        if (n > 3 && n < sizeof word && word[n - 3] == '.' && strspn(word, "0123456789.") == n)
            snprintf(last, sizeof last, "%s", word);
        else if (strcmp(word, "of") == 0) /* "9 of them 4.84" stands behind the price */
            break;
        line += n + 1;
    }
    return cents(last);
}

/* Add up a table of the text, from the line behind its titles to the one that starts with "all". */
static long long total_of_table(const char *text, const char *titles)
{
    const char *line = strstr(text, titles);
    long long sum = 0;
    ck_assert_msg(line != NULL, "no %s in %s", titles, text);
    for (line = strchr(line, '\n') + 1;; line = strchr(line, '\n') + 1) {
        const char *end = strchr(line, '\n');
        /* Of the split: 23.7% of the cost. Its price is the last amount all the same. */
        const char *cost = strstr(line, "of the cost");
        const char *from = cost && cost < end ? cost + strlen("of the cost") : line;
        long long amount = amount_in(from, end);
        if (strncmp(line, "all", 3) == 0) {
            ck_assert_int_eq(sum, amount);
            return sum;
        }
        sum += amount;
    }
}

static long long total_of_text(void)
{
    struct ran ran = quote("--text", 0);
    long long parts = total_of_table(ran.out, "Part  Name"), split = total_of_table(ran.out, "What    ");
    char price[60];
    snprintf(price, sizeof price, "\nPrice %lld.%02lld. Tax is left out.\n", parts / 100, parts % 100);
    ck_says(ran.out, price);
    ck_assert_int_eq(split, parts);
    done(&ran);
    return parts;
}

START_TEST(parts_and_rows_add_up_to_the_cent_in_every_form)
{
    static const char *const quantities[] = {"1", "7", "10000"};
    make_job(quantities[_i]);
    long long total = total_of_csv();
    ck_assert_int_gt(total, 0);
    ck_assert_int_eq(total_of_json(), total);
    ck_assert_int_eq(total_of_text(), total);
}
END_TEST

START_TEST(currencies_of_other_decimals_add_up_too)
{
    make_job("7");
    ck_done("set", "-f", "shop.db", "rates:shop", "decimals=0", "currency=tokens");
    struct ran none = quote("--json", 0);
    ck_assert_str_eq(json_text(none.out, "$.currency"), "tokens");
    ck_assert(json_number(none.out, "$.price") == json_number(none.out, "$.price_cents"));
    done(&none);
    ck_done("set", "-f", "shop.db", "rates:shop", "decimals=3");
    struct ran three = quote("--json", 0), text = quote("--text", 0);
    ck_assert(json_number(three.out, "$.price") == json_number(three.out, "$.price_cents") / 1000);
    ck_assert(json_ask(three.out,
                       "SELECT sum(json_extract(value, '$.price_cents')) FROM json_each(?1, '$.parts')") ==
              json_number(three.out, "$.price_cents"));
    char price[60];
    snprintf(price, sizeof price, "\nPrice %.3f tokens. Tax is left out.", json_number(three.out, "$.price"));
    ck_says(text.out, price);
    done(&three);
    done(&text);
}
END_TEST

/* ---- by hand ---- */

START_TEST(a_price_is_the_rates_on_what_the_plan_says)
{
    make_job("7");
    struct ran ran = quote("--json", 0), plan = run("plan", "-f", "shop.db", "--json", NULL);
    ck_near(json_number(ran.out, "$.amounts.garnet_kg"), json_number(plan.out, "$.totals.garnet_kg"), 1e-12);
    ck_near(json_number(ran.out, "$.amounts.machine_s"), json_number(plan.out, "$.totals.elapsed_s"), 1e-12);
    ck_near(json_number(ran.out, "$.amounts.labour_s"), json_number(plan.out, "$.totals.hands_on_s"), 1e-12);
    ck_near(json_number(ran.out, "$.amounts.power_kwh"), json_number(plan.out, "$.totals.energy_kwh"), 1e-12);
    /* Rows are rounded to the cent, the price as a whole. */
    double machine = json_number(plan.out, "$.totals.elapsed_s") / 3600 * 93.17,
           garnet = json_number(plan.out, "$.totals.garnet_kg") * 0.733;
    ck_assert_double_lt(fabs(json_number(ran.out, "$.rows.machine") - machine), 0.01);
    ck_assert_double_lt(fabs(json_number(ran.out, "$.rows.garnet") - garnet), 0.01);
    ck_assert(json_number(ran.out, "$.rows.setup") == 23.77);
    ck_assert(json_number(ran.out, "$.rows.material") == 131.37 + 57.01); /* a sheet of each */
    double addition = (json_number(ran.out, "$.price") - json_number(ran.out, "$.rows.mark_up")) * 0.237;
    ck_assert_double_lt(fabs(json_number(ran.out, "$.rows.mark_up") - addition), 0.02);
    ck_assert(json_number(ran.out, "$.rates.garnet_per_kg") == 0.733);
    done(&ran);
    done(&plan);
}
END_TEST

START_TEST(customers_sheets_and_a_minimum_are_counted)
{
    make_job("1");
    ck_done("set", "-f", "shop.db", "J/1", "owner=customer");
    ck_done("set", "-f", "shop.db", "J/2", "owner=customer", "sheet_price=none");
    ck_done("set", "-f", "shop.db", "rates:shop", "minimum=1000");
    struct ran ran = quote("--json", 0), text = quote("--text", 0);
    ck_assert(json_number(ran.out, "$.rows.material") == 0);
    ck_assert(json_number(ran.out, "$.price") == 1000);
    ck_assert(json_number(ran.out, "$.rows.minimum") > 0);
    ck_says(text.out, "up to 1000");
    ck_says(text.out, "\nPrice 1000.00. Tax is left out.");
    done(&ran);
    done(&text);
}
END_TEST

START_TEST(breaks_fall_with_the_quantity_and_say_why)
{
    make_job("7");
    struct ran ran = run("quote", "-f", "shop.db", "J", "--json", "--sets", "1,2,50", NULL);
    ck_code(ran, 0);
    ck_assert_int_eq(json_count(ran.out, "$.breaks"), 3);
    ck_assert(json_number(ran.out, "$.breaks[2].pieces") == 150);
    for (int i = 1; i < 3; i++) {
        char path[60], before[60];
        snprintf(path, sizeof path, "$.breaks[%d].known_a_set", i);
        snprintf(before, sizeof before, "$.breaks[%d].known_a_set", i - 1);
        ck_assert_double_lt(json_number(ran.out, path), json_number(ran.out, before));
        snprintf(path, sizeof path, "$.breaks[%d].reason", i);
        ck_says(json_text(ran.out, path), "less: ");
        ck_says(json_text(ran.out, path), "set-up shared by more");
    }
    ck_assert_str_eq(json_type(ran.out, "$.breaks[0].reason"), "null");
    struct ran sorted = run("quote", "-f", "shop.db", "J", "--json", "--sets", "50,1,2,50,1", NULL);
    ck_code(sorted, 0);
    ck_assert_str_eq(sorted.out, ran.out);
    done(&sorted);
    done(&ran);
    /* Without --sets the usual ones, and the job itself in its place. */
    ran = quote("--json", 0);
    static const double usual[] = {1, 7, 10, 100, 1000};
    ck_assert_int_eq(json_count(ran.out, "$.breaks"), 5);
    for (int i = 0; i < 5; i++) {
        char path[60];
        snprintf(path, sizeof path, "$.breaks[%d].sets", i);
        ck_assert(json_number(ran.out, path) == usual[i]);
    }
    ck_assert(json_number(ran.out, "$.breaks[1].price") == json_number(ran.out, "$.price"));
    done(&ran);
}
END_TEST

START_TEST(it_holds_from_today_and_says_for_whom_and_how)
{
    make_job("7");
    ck_done("set", "-f", "shop.db", "J", "note=first one to the inspector");
    ck_done("set", "-f", "shop.db", "rates:shop", "valid_days=30", "terms=ours, as ever");
    struct ran ran = quote("--json", 0), text = quote("--text", 0);
    char from[40], to[40], line[120];
    snprintf(from, sizeof from, "%sT00:00:00.000+00:00", json_text(ran.out, "$.made_on"));
    snprintf(to, sizeof to, "%sT00:00:00.000+00:00", json_text(ran.out, "$.holds_until"));
    ck_assert(iso_seconds(to) - iso_seconds(from) == 30 * 86400.0);
    ck_assert(fabs(iso_seconds(from) - (double)time(NULL)) < 2 * 86400.0);
    snprintf(line, sizeof line, "\nMade %.10s, holds until %.10s\n", from, to);
    ck_says(text.out, line);
    ck_says(text.out, "QUOTE J frames\nFor office 9\n");
    ck_says(text.out, "---- for the office only ----\n\nNote: first one to the inspector\n");
    ck_says(text.out, "\nTerms: ours, as ever\n");
    ck_assert_str_eq(json_type(ran.out, "$.tax_included"), "false");
    done(&ran);
    done(&text);
}
END_TEST

/* ---- whatever else is cut ---- */

START_TEST(a_copy_costs_the_same_beside_the_job_and_in_a_closed_shift)
{
    ck_done("example", "shop.db");
    struct ran ran = run("quote", "-f", "shop.db", "2601", "--json", NULL);
    const double price = json_number(ran.out, "$.price_cents");
    done(&ran);
    ck_done("copy", "2601", "2621", "-f", "shop.db");
    ck_done("copy", "2601", "2631", "-f", "shop.db");
    ck_done("add", "shift", "Q", "-f", "shop.db", "closed=yes", "date=2030-01-01");
    ck_done("move", "2631", "shift:Q", "-f", "shop.db");
    static const char *const like[] = {"2601", "2621", "2631"};
    for (int i = 0; i < 3; i++) {
        ran = run("quote", "-f", "shop.db", like[i], "--json", NULL);
        ck_code(ran, 0);
        ck_assert(json_number(ran.out, "$.price_cents") == price);
        done(&ran);
    }
}
END_TEST

START_TEST(the_example_quotes_each_of_its_jobs_whole)
{
    static const char *const jobs[] = {"2601", "2602", "2603", "2604", "2605"};
    ck_done("example", "shop.db");
    for (int i = 0; i < 5; i++) {
        struct ran ran = run("quote", "-f", "shop.db", jobs[i], "--json", NULL);
        ck_code(ran, 0);
        ck_assert_str_eq(ran.err, "");
        ck_document(ran.out);
        ck_assert_str_eq(json_type(ran.out, "$.currency"), "null");
        ck_says_not(ran.out, "more cutting"); /* its cuts are the same in every quantity */
        done(&ran);
    }
}
END_TEST

static void fill(TCase *t)
{
    tcase_add_loop_test(t, parts_and_rows_add_up_to_the_cent_in_every_form, 0, 3);
    tcase_add_test(t, currencies_of_other_decimals_add_up_too);
    tcase_add_test(t, a_price_is_the_rates_on_what_the_plan_says);
    tcase_add_test(t, customers_sheets_and_a_minimum_are_counted);
    tcase_add_test(t, breaks_fall_with_the_quantity_and_say_why);
    tcase_add_test(t, it_holds_from_today_and_says_for_whom_and_how);
    tcase_add_test(t, a_copy_costs_the_same_beside_the_job_and_in_a_closed_shift);
    tcase_add_test(t, the_example_quotes_each_of_its_jobs_whole);
}

int main(void)
{
    return run_suite("quote, price", fill);
}
