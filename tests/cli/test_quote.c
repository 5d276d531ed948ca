/* quote: prices that add up to the cent in every form, what is not known and who may not see it. */
#include "cli/csv.h"
#include "cli/json.h"
#include "cli/run.h"

#include <ctype.h>

static const char *const rows[] = {"machine", "labour",  "power",    "water", "garnet",  "disposal",
                                   "tube",    "orifice", "material", "setup", "mark_up", "minimum"};
enum { ROWS = sizeof rows / sizeof *rows };

/* Two parts and a third of another material, in so many pieces each, at rates that leave odd cents. */
static void make_job(const char *pieces)
{
    char quantity[40];
    snprintf(quantity, sizeof quantity, "quantity=%s", pieces);
    make_shop();
    ck_done("add", "job", "J", "-f", "shop.db", "name=frames", "customer=office 9");
    ck_done("add", "stock", "J", "-f", "shop.db", "material=mild steel", "thickness=12", "sheet_length=2500",
            "sheet_width=1250", "sheet_price=131.37");
    ck_done("add", "part", "J/1", "A", "-f", "shop.db", quantity, "cut_length=733", "pierces=3", "length=211",
            "width=97");
    ck_done("add", "part", "J/1", "B", "-f", "shop.db", quantity, "cut_length=409", "pierces=1", "length=83",
            "width=71");
    ck_done("add", "stock", "J", "-f", "shop.db", "material=acrylic", "thickness=6", "sheet_length=2000",
            "sheet_width=1000", "sheet_price=57.01");
    ck_done("add", "part", "J/2", "A", "-f", "shop.db", quantity, "cut_length=1201", "pierces=2",
            "length=311", "width=89");
    ck_done("set", "-f", "shop.db", "rates:shop", "machine=93.17", "labour=41.03", "power=0.147",
            "water=2.61", "garnet=0.733", "disposal=0.117", "tube=118.9", "orifice=47.3", "setup=23.77",
            "mark_up=23.7");
}

static struct ran quote(const char *option, int code)
{
    struct ran ran = run("quote", "-f", "shop.db", "J", option, NULL);
    ck_code(ran, code);
    return ran;
}

/* Whole cents of "1234.56"; anything else fails. */
static long long cents(const char *text)
{
    long long units = 0;
    const char *at = text;
    for (; isdigit((unsigned char)*at); at++)
        units = units * 10 + (*at - '0');
    ck_assert_msg(at > text && at[0] == '.' && isdigit((unsigned char)at[1]) &&
                      isdigit((unsigned char)at[2]) && at[3] == '\0',
                  "\"%s\" is no amount with two decimals", text);
    return units * 100 + (at[1] - '0') * 10 + (at[2] - '0');
}

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

/* ---- what is not known ---- */

START_TEST(what_lacks_is_named_with_its_command_and_never_told_as_whole)
{
    make_job("7");
    ck_done("set", "-f", "shop.db", "rates:shop", "garnet=none", "mark_up=none");
    ck_done("set", "-f", "shop.db", "J/2", "sheet_price=none");
    ck_done("set", "-f", "shop.db", "head:abrasive", "tube_life=none");
    struct ran ran = quote("--text", 1);
    ck_says(ran.out, "\nSo far ");
    ck_says(ran.out, " without garnet, tube and mark-up, and part of material: this is NOT THE WHOLE PRICE");
    ck_says_not(ran.out, "\nPrice 1");
    ck_says(ran.out, "sandglass set rates:shop garnet=PRICE/kg\n");
    ck_says(ran.out, "sandglass set rates:shop mark_up=PERCENT\n");
    ck_says(ran.out, "sandglass set J/2 sheet_price=PRICE\n");
    ck_says(ran.out, "sandglass set head:abrasive tube_life=HOURS\n");
    ck_says_not(ran.out, "set J/1 sheet_price");
    ck_says(ran.err,
            "this is not the whole price of job J: it is without garnet, tube and mark-up, and part");
    done(&ran);
    ran = quote("--json", 1);
    ck_document(ran.out);
    ck_assert_str_eq(json_type(ran.out, "$.price"), "null");
    ck_assert_str_eq(json_type(ran.out, "$.price_cents"), "null");
    ck_assert_str_eq(json_type(ran.out, "$.whole"), "false");
    ck_assert_str_eq(json_type(ran.out, "$.rows.garnet"), "null");
    ck_assert(json_number(ran.out, "$.known") > 0);
    ck_assert_int_eq(json_count(ran.out, "$.lacking"), 4);
    done(&ran);
    ran = quote("--csv", 1);
    struct csv csv;
    csv_read(ran.out, ',', &csv);
    ck_assert_str_eq(csv_at(&csv, 3, "price"), "");
    ck_assert_str_eq(csv_at(&csv, 3, "each"), "");
    ck_assert_str_eq(csv_at(&csv, 3, "material_price"), "");
    ck_assert_str_eq(csv_at(&csv, 3, "without"), "garnet, tube, material and mark-up");
    ck_assert_int_gt(cents(csv_at(&csv, 3, "known")), 0);
    csv_free(&csv);
    done(&ran);
}
END_TEST

/* Each command that a quote gives, typed as it stands with a value, makes the next quote lack less, until it
 * lacks nothing. */
START_TEST(the_commands_it_gives_make_it_whole)
{
    int left = 100, runs = 0;
    make_job("7");
    ck_done("set", "-f", "shop.db", "rates:shop", "machine=1", "labour=none", "power=none", "water=none",
            "garnet=none", "disposal=none", "tube=none", "orifice=none", "setup=none", "mark_up=none");
    ck_done("set", "-f", "shop.db", "rates:shop", "machine=none", "minimum=5");
    ck_done("set", "-f", "shop.db", "J/2", "sheet_price=none", "sheet_length=none", "sheet_width=none");
    ck_done("set", "-f", "shop.db", "J/1/A", "length=none", "width=none");
    ck_done("set", "-f", "shop.db", "head:abrasive", "tube_life=none", "orifice_life=none");
    for (; left > 0; runs++) {
        struct ran ran = run("quote", "-f", "shop.db", "J", "--json", NULL);
        int lacks = json_count(ran.out, "$.lacking");
        ck_assert_int_lt(lacks, left);
        ck_code(ran, lacks > 0);
        left = lacks;
        if (left > 0) {
            char command[300], *words[8], *rest = NULL;
            int n = 0;
            snprintf(command, sizeof command, "%s", json_text(ran.out, "$.lacking[0].command"));
            for (char *word = strtok_r(command, " ", &rest); word && n < 7; word = strtok_r(NULL, " ", &rest))
                words[n++] = word;
            ck_assert_str_eq(words[0], "sandglass");
            char values[3][60];
            const char *more[3] = {NULL, NULL, NULL};
            for (int i = 3; i < n; i++) {
                char *unit = strchr(words[i], '/');
                snprintf(values[i - 3], sizeof values[0], "%.*s=500%s", (int)strcspn(words[i], "="), words[i],
                         unit ? unit : "");
                more[i - 3] = values[i - 3];
            }
            ck_done(words[1], words[2], more[0], "-f", "shop.db", more[1]);
        }
        done(&ran);
    }
    ck_assert_int_ge(runs, 13);
}
END_TEST

START_TEST(a_key_in_a_command_is_one_word_of_a_shell)
{
    make_job("7");
    ck_done("copy", "J", "it's $(5)", "-f", "shop.db");
    ck_done("set", "-f", "shop.db", "it's $(5)/1", "sheet_price=none");
    struct ran ran = run("quote", "-f", "shop.db", "it's $(5)", "--text", NULL);
    ck_code(ran, 1);
    ck_says(ran.out, "sandglass set 'it'\\''s $(5)/1' sheet_price=PRICE\n");
    done(&ran);
}
END_TEST

START_TEST(a_part_that_fits_on_no_sheet_is_named)
{
    make_job("7");
    ck_done("set", "-f", "shop.db", "J/2", "sheet_length=50", "sheet_width=50");
    struct ran ran = run("quote", "-f", "shop.db", "J", "--text", NULL);
    ck_code(ran, 1);
    ck_says(ran.out, " without part of material: ");
    ck_says(ran.out, "how many sheets it takes: sandglass why J/2/A sheets\n");
    ck_done("why", "J/2/A", "sheets", "-f", "shop.db");
    done(&ran);
}
END_TEST

START_TEST(a_part_that_cannot_be_timed_is_named)
{
    make_job("7");
    ck_done("add", "stock", "J", "-f", "shop.db", "thickness=12", "sheet_price=1"); /* of no material yet */
    ck_done("add", "part", "J/3", "A", "-f", "shop.db", "cut_length=100", "length=50", "width=50");
    struct ran ran = run("quote", "-f", "shop.db", "J", "--text", NULL);
    ck_code(ran, 1);
    ck_says(ran.out, "how long its parts take: sandglass set J/3 material=NAME\n");
    ck_says_not(ran.out, "sandglass plan A\n"); /* that is why */
    ck_says_not(ran.out, "sandglass why J/3/A");
    ck_says(ran.err, "not the whole price of job J: it is without machine and labour, and part of power");
    ck_says(ran.out, "?");
    ck_says(ran.out, "0.00  not the whole price\n");
    done(&ran);
}
END_TEST

/* A part that was only counted so far, among others of its stock: its row is the one thing that is asked for.
 */
START_TEST(a_part_without_its_cut_is_named_once_with_what_sets_it)
{
    make_job("7");
    ck_done("add", "part", "J/1", "C", "-f", "shop.db", "quantity=2");
    struct ran ran = run("quote", "-f", "shop.db", "J", "--json", NULL);
    ck_code(ran, 1);
    ck_assert_int_eq(json_count(ran.out, "$.lacking"), 1);
    ck_assert_str_eq(json_text(ran.out, "$.lacking[0].command"),
                     "sandglass set J/1/C cut_length=LENGTH length=LENGTH width=LENGTH");
    done(&ran);
    ck_done("set", "-f", "shop.db", "J/1/C", "length=90", "width=70");
    ran = run("quote", "-f", "shop.db", "J", "--json", NULL);
    ck_assert_int_eq(json_count(ran.out, "$.lacking"), 1);
    ck_assert_str_eq(json_text(ran.out, "$.lacking[0].command"), "sandglass set J/1/C cut_length=LENGTH");
    done(&ran);
    ck_done("set", "-f", "shop.db", "J/1/C", "cut_length=300", "length=9000");
    ran = run("quote", "-f", "shop.db", "J", "--json", NULL); /* too large; the others of its stock are not */
    ck_assert_int_eq(json_count(ran.out, "$.lacking"), 1);
    ck_assert_str_eq(json_text(ran.out, "$.lacking[0].command"), "sandglass why J/1/C sheets");
    done(&ran);
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

/* ---- who may see it ---- */

START_TEST(a_customer_sees_neither_rates_nor_the_note)
{
    make_job("7");
    ck_done("set", "-f", "shop.db", "J", "note=pays late");
    struct ran ran = quote("--customer", 0), whole = quote("--text", 0);
    ck_says(ran.out, "QUOTE J frames\nFor office 9\n");
    ck_says(ran.out, "\nPrice ");
    ck_says(ran.out, "Price by quantity");
    ck_says_not(ran.out, "pays late");
    ck_says_not(ran.out, "office only");
    ck_says_not(ran.out, "93.17");
    ck_says_not(ran.out, "mark-up");
    ck_assert(strncmp(ran.out, whole.out, strlen(ran.out)) == 0);
    done(&ran);
    done(&whole);
    ck_refused(2, "--customer is text", "quote", "-f", "shop.db", "J", "--customer", "--json");
    ck_refused(2, "--customer is text", "quote", "-f", "shop.db", "J", "--customer", "--csv");
}
END_TEST

START_TEST(rates_never_reach_the_job_sheet)
{
    static const char *const forms[] = {"--text", "--csv", "--json", "--for-spreadsheet"};
    static const char *const secrets[] = {"7654.3",      "7654,3", "6543.2",  "6543,2",
                                          "5432.1",      "4321.9", "8765.4",  "8765,4",
                                          "61.37",       "0.6137", "CROWNS",  "not for the floor",
                                          "sheet_price", "mark",   "machine", "labour",
                                          "price",       "cost",   "rate"};
    make_job("7");
    ck_done("set", "-f", "shop.db", "rates:shop", "machine=7654.3", "labour=6543.2", "garnet=5432.1",
            "setup=4321.9", "mark_up=61.37", "minimum=8765.4", "currency=CROWNS", "terms=not for the floor");
    ck_done("set", "-f", "shop.db", "J/1", "sheet_price=8765.4");
    struct ran priced = quote("--text", 0);
    ck_says(priced.out, "7654.3"); /* so the words looked for are the right ones */
    ck_says(priced.out, "61.37");
    ck_says(priced.out, "not for the floor");
    done(&priced);
    for (int i = 0; i < 4; i++) {
        struct ran ran = run("sheet", "-f", "shop.db", "J", forms[i], NULL);
        ck_code(ran, 0);
        for (size_t k = 0; k < sizeof secrets / sizeof *secrets; k++) {
            const char *found = strstr(ran.out, secrets[k]);
            /* traverse_mm_min holds none of them, but separation and operator hold "rat" only. */
            ck_assert_msg(found == NULL, "%s shows \"%s\": %.80s", forms[i], secrets[k], found ? found : "");
        }
        done(&ran);
    }
}
END_TEST

START_TEST(a_sheet_is_the_same_with_and_without_rates)
{
    static const char *const forms[] = {"--text", "--csv", "--json", "--for-spreadsheet"};
    struct ran before[4];
    make_job("7");
    for (int i = 0; i < 4; i++)
        before[i] = run("sheet", "-f", "shop.db", "J", forms[i], NULL);
    ck_done("set", "-f", "shop.db", "rates:shop", "machine=1", "terms=other terms", "mark_up=none",
            "margin=30", "currency=beads", "valid_days=9");
    ck_done("set", "-f", "shop.db", "J/1", "sheet_price=1");
    for (int i = 0; i < 4; i++) {
        struct ran after = run("sheet", "-f", "shop.db", "J", forms[i], NULL);
        ck_code(after, 0);
        ck_assert_str_eq(after.out, before[i].out);
        done(&after);
        done(&before[i]);
    }
}
END_TEST

START_TEST(texts_that_a_spreadsheet_would_run_are_guarded)
{
    make_job("7");
    ck_done("set", "-f", "shop.db", "J", "customer==1+1");
    ck_done("set", "-f", "shop.db", "J/1/A", "name=@SUM(A1)");
    ck_done("set", "-f", "shop.db", "rates:shop", "currency=+x");
    struct ran ran = quote("--csv", 0);
    struct csv csv;
    csv_read(ran.out, ',', &csv);
    ck_assert_str_eq(csv_at(&csv, 1, "customer"), "'=1+1");
    ck_assert_str_eq(csv_at(&csv, 1, "name"), "'@SUM(A1)");
    ck_assert_str_eq(csv_at(&csv, 1, "currency"), "'+x");
    csv_free(&csv);
    done(&ran);
}
END_TEST

START_TEST(units_are_in_the_titles)
{
    make_job("7");
    struct csv si, us;
    struct ran kg = quote("--csv", 0),
               lb = run("quote", "-f", "shop.db", "J", "--csv", "--units", "us", NULL);
    ck_code(lb, 0);
    csv_read(kg.out, ',', &si);
    csv_read(lb.out, ',', &us);
    for (int row = 1; row < si.rows; row++) {
        ck_near(csv_number(&us, row, "garnet_lb") * 0.45359237, csv_number(&si, row, "garnet_kg"), 1e-14L);
        ck_near(csv_number(&us, row, "water_gal") * 3.785411784, csv_number(&si, row, "water_l"), 1e-14L);
        ck_assert_str_eq(csv_at(&us, row, "price"), csv_at(&si, row, "price"));
    }
    csv_free(&si);
    csv_free(&us);
    done(&kg);
    done(&lb);
    struct ran text = run("quote", "-f", "shop.db", "J", "--units", "us", NULL);
    ck_says(text.out, " lb ");
    ck_says(text.out, " /lb");
    done(&text);
}
END_TEST

/* ---- bad input ---- */

START_TEST(what_cannot_be_quoted_is_refused)
{
    make_shop();
    ck_done("add", "job", "J", "-f", "shop.db");
    struct bytes before = bytes_of("shop.db");
    ck_refused(3, "no rates are set", "quote", "-f", "shop.db", "J");
    ck_refused(3, "set rates:shop machine=", "quote", "-f", "shop.db", "J");
    ck_refused(3, "no job \"K\"", "quote", "-f", "shop.db", "K");
    ck_unchanged("shop.db", &before);
    ck_done("set", "-f", "shop.db", "rates:shop", "machine=90");
    ck_refused(3, "job J has no pieces to price", "quote", "-f", "shop.db", "J");
    ck_done("add", "stock", "J", "-f", "shop.db", "material=mild steel", "thickness=12");
    ck_done("add", "part", "J/1", "A", "-f", "shop.db", "quantity=3", "cut_length=100");
    ck_refused(3, "a quote is of a JOB; J/1 is a stock", "quote", "-f", "shop.db", "J/1");
    ck_refused(2, "usage: sandglass quote JOB", "quote", "-f", "shop.db");
    ck_refused(2, "one of --text, --csv and --json", "quote", "-f", "shop.db", "J", "--csv", "--json");
    ck_refused(2, "--sets goes with", "quote", "-f", "shop.db", "J", "--csv", "--sets", "1");
    ck_refused(2, "--units is us or metric", "quote", "-f", "shop.db", "J", "--units", "feet");
    static const struct {
        const char *sets, *words;
        int code;
    } all[] = {{"", "is no whole number of sets", 2},
               {"1,", "is no whole number of sets", 2},
               {"1,x", "\"x\" is no whole number of sets", 2},
               {"-5", "is no whole number of sets", 2},
               {"1e9", "is no whole number of sets", 2},
               {"99999999999999999999", "is no whole number of sets", 2},
               {"0", "quantity 0: list quantities from 1 on", 3},
               {"1000000000", "1000000000 times job J is more than 1000000 pieces of part A", 3}};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        ck_refused(all[i].code, all[i].words, "quote", "-f", "shop.db", "J", "--sets", all[i].sets);
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
    tcase_add_test(t, what_lacks_is_named_with_its_command_and_never_told_as_whole);
    tcase_add_test(t, the_commands_it_gives_make_it_whole);
    tcase_add_test(t, a_key_in_a_command_is_one_word_of_a_shell);
    tcase_add_test(t, a_part_that_fits_on_no_sheet_is_named);
    tcase_add_test(t, a_part_that_cannot_be_timed_is_named);
    tcase_add_test(t, a_part_without_its_cut_is_named_once_with_what_sets_it);
    tcase_add_test(t, a_copy_costs_the_same_beside_the_job_and_in_a_closed_shift);
    tcase_add_test(t, a_customer_sees_neither_rates_nor_the_note);
    tcase_add_test(t, rates_never_reach_the_job_sheet);
    tcase_add_test(t, a_sheet_is_the_same_with_and_without_rates);
    tcase_add_test(t, texts_that_a_spreadsheet_would_run_are_guarded);
    tcase_add_test(t, units_are_in_the_titles);
    tcase_add_test(t, what_cannot_be_quoted_is_refused);
    tcase_add_test(t, the_example_quotes_each_of_its_jobs_whole);
}

int main(void)
{
    return run_suite("quote", fill);
}
