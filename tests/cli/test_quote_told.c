/* quote: what is not known is named with its command, who may not see the rates does not, and what cannot be
 * quoted is refused. */
#include "cli/quotes.h"

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

static void fill(TCase *t)
{
    tcase_add_test(t, what_lacks_is_named_with_its_command_and_never_told_as_whole);
    tcase_add_test(t, the_commands_it_gives_make_it_whole);
    tcase_add_test(t, a_key_in_a_command_is_one_word_of_a_shell);
    tcase_add_test(t, a_part_that_fits_on_no_sheet_is_named);
    tcase_add_test(t, a_part_that_cannot_be_timed_is_named);
    tcase_add_test(t, a_part_without_its_cut_is_named_once_with_what_sets_it);
    tcase_add_test(t, a_customer_sees_neither_rates_nor_the_note);
    tcase_add_test(t, rates_never_reach_the_job_sheet);
    tcase_add_test(t, a_sheet_is_the_same_with_and_without_rates);
    tcase_add_test(t, texts_that_a_spreadsheet_would_run_are_guarded);
    tcase_add_test(t, units_are_in_the_titles);
    tcase_add_test(t, what_cannot_be_quoted_is_refused);
}

int main(void)
{
    return run_suite("quote, told", fill);
}
