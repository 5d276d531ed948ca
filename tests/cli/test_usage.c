/* How the program is called: words, options, exit codes, where data and messages go. */
#include "cli/json.h"
#include "cli/run.h"

static const char *const commands[] = {"example", "new",     "add",    "set",      "plan",  "import", "sheet",
                                       "speed",   "convert", "fields", "commands", "paths", "check",  "help"};
enum { COMMANDS = sizeof commands / sizeof *commands };

START_TEST(without_a_word_it_says_how_it_is_used)
{
    struct ran ran = {0};
    const char *none[] = {NULL};
    ran = finish(start_words(NULL, none));
    ck_code(ran, 2);
    ck_assert_str_eq(ran.out, "");
    ck_says(ran.err, "usage: sandglass [-f FILE]");
    ck_says(ran.err, "sandglass COMMAND");
    ck_assert_int_eq(names_here(), 0);
    done(&ran);
}
END_TEST

START_TEST(version_and_help_are_data)
{
    struct ran ran = run("--version", NULL);
    int major, minor, patch, end = 0;
    ck_code(ran, 0);
    ck_assert_int_eq(sscanf(ran.out, "sandglass %d.%d.%d\n%n", &major, &minor, &patch, &end), 3);
    ck_assert_uint_eq((size_t)end, ran.out_length);
    ck_assert_str_eq(ran.err, "");
    done(&ran);
    static const char *const ways[] = {"help", "--help", "-h"};
    for (int i = 0; i < 3; i++) {
        ran = run(ways[i], NULL);
        ck_code(ran, 0);
        ck_assert_str_eq(ran.err, "");
        for (int k = 0; k < COMMANDS; k++)
            ck_says(ran.out, commands[k]);
        ck_says(ran.out, "Exit: 0 done");
        done(&ran);
    }
}
END_TEST

START_TEST(each_command_has_help_two_ways)
{
    for (int i = 0; i < COMMANDS; i++) {
        struct ran help = run("help", commands[i], NULL), option = run(commands[i], "--help", NULL);
        char first[60];
        snprintf(first, sizeof first, "sandglass %s ", commands[i]);
        ck_code(help, 0);
        ck_assert_msg(strncmp(help.out, first, strlen(first)) == 0, "%s", help.out);
        ck_code(option, 0);
        ck_assert_str_eq(help.out, option.out);
        done(&help);
        done(&option);
    }
    ck_refused(2, "no command \"nope\"", "help", "nope");
}
END_TEST

START_TEST(the_list_of_commands_is_the_program_itself)
{
    struct ran ran = run("commands", "--json", NULL), text = run("commands", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    int n = json_count(ran.out, "$.commands");
    ck_assert_int_ge(n, COMMANDS);
    for (int i = 0; i < n; i++) {
        char path[60];
        snprintf(path, sizeof path, "$.commands[%d]", i);
        ck_keys(ran.out, path, "command:text words:text options:text help:text");
        strcat(path, ".command");
        struct ran help = run("help", json_text(ran.out, path), NULL);
        ck_code(help, 0);
        ck_says(text.out, json_text(ran.out, path));
        done(&help);
    }
    done(&ran);
    done(&text);
}
END_TEST

START_TEST(wrong_use_is_2_and_names_the_thing)
{
    make_shop();
    struct bytes before = bytes_of("shop.db");
    ck_refused(2, "no command \"bogus\"", "bogus");
    ck_refused(2, "no command \"\"", "");
    ck_refused(2, "no option --nope", "plan", "--nope");
    ck_refused(2, "no option --csv", "set", "-f", "shop.db", "shift:A", "start=7:00", "--csv");
    ck_refused(2, "-f needs its FILE", "plan", "-f");
    ck_refused(2, "given twice", "plan", "-f", "shop.db", "-f", "shop.db");
    ck_refused(2, "--json takes no value", "plan", "-f", "shop.db", "--json=yes");
    ck_refused(2, "usage: sandglass plan [SHIFT]", "plan", "-f", "shop.db", "A", "B");
    ck_refused(2, "usage: sandglass new FILE", "new");
    ck_refused(2, "usage: sandglass new FILE", "new", "one.db", "two.db");
    ck_refused(2, "example takes no option --units", "example", "--units", "metric"); /* it is in us units */
    ck_refused(2, "--units is us or metric", "new", "--units", "imperial", "one.db");
    ck_refused(2, "--units is us or metric", "sheet", "-f", "shop.db", "J", "--units", "imperial");
    ck_refused(2, "usage: sandglass set", "set", "-f", "shop.db");
    ck_refused(2, "nothing to set", "set", "-f", "shop.db", "shift:A");
    ck_refused(2, "not of the form FIELD=VALUE", "set", "-f", "shop.db", "shift:A", "start");
    ck_refused(2, "usage: sandglass add", "add", "-f", "shop.db", "job");
    ck_refused(2, "usage: sandglass add part", "add", "-f", "shop.db", "part", "J/1");
    ck_refused(2, "cannot be added", "add", "-f", "shop.db", "machine", "second");
    ck_refused(2, "cannot be added", "add", "-f", "shop.db", "pump", "second");
    ck_refused(2, "usage: sandglass import", "import", "-f", "shop.db", "J");
    ck_refused(2, "usage: sandglass sheet", "sheet", "-f", "shop.db");
    ck_refused(2, "usage: sandglass convert", "convert", "1/4in");
    ck_refused(2, "has no fields", "fields", "pump");
    ck_assert_int_eq(names_here(), 1);
    ck_unchanged("shop.db", &before);
}
END_TEST

START_TEST(an_option_may_hold_its_value_and_two_hyphens_end_them)
{
    make_shop();
    ck_quiet("plan", "--f=shop.db", "--json");
    ck_quiet("add", "-f", "shop.db", "job", "--", "-x");
    ck_refused(3, "no job \"-y\"", "set", "-f=shop.db", "--", "-y", "name=none");
    ck_quiet("set", "-f=shop.db", "--", "-x", "name=-");
}
END_TEST

/* ---- standard output ---- */

START_TEST(output_that_cannot_be_written_is_6)
{
    make_shop();
    static const char *const calls[][6] = {{"--version"},
                                           {"help"},
                                           {"commands"},
                                           {"fields"},
                                           {"paths"},
                                           {"convert", "1/4in", "mm"},
                                           {"speed", "--material", "steel", "--thickness", "6mm"},
                                           {"plan", "-f", "shop.db"},
                                           {"plan", "-f", "shop.db", "--json"},
                                           {"plan", "-f", "shop.db", "--csv"},
                                           {"check", "-f", "shop.db"},
                                           {"set", "-f", "shop.db", "shift:A", "--list"}};
    static const struct run_how ways[] = {{.out = RUN_FULL}, {.out = RUN_CLOSED}};
    for (size_t i = 0; i < sizeof calls / sizeof *calls; i++)
        for (int way = 0; way < 2; way++) {
            const char *words[7] = {0};
            memcpy(words, calls[i], sizeof calls[i]);
            struct ran ran = finish(start_words(&ways[way], words));
            ck_assert_msg(ran.code == 6, "%s: exit %d", words[0], ran.code);
            ck_says(ran.err, "standard output could not be written");
            done(&ran);
        }
}
END_TEST

START_TEST(a_change_is_kept_even_where_its_report_is_lost)
{
    make_shop();
    const struct run_how full = {.out = RUN_FULL};
    struct ran ran = run_how(&full, "set", "-f", "shop.db", "shift:A", "start=07:00", NULL);
    ck_code(ran, 6);
    done(&ran);
    ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_assert_str_eq(json_text(ran.out, "$.shift.starts_at"), "2026-12-01T07:00:00.000+00:00");
    done(&ran);
}
END_TEST

START_TEST(an_example_without_a_file_leaves_nothing_behind)
{
    struct ran ran = run("example", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "SHIFT A");
    ck_says(ran.out, "Cautions");
    ck_says(ran.err, "sandglass example FILE");
    ck_assert_int_eq(names_here(), 0);
    done(&ran);
    ran = run("example", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    ck_assert_int_eq(json_count(ran.out, "$.jobs"), 5);
    done(&ran);
    const struct run_how full = {.out = RUN_FULL};
    ran = run_how(&full, "example", NULL);
    ck_code(ran, 6);
    ck_assert_int_eq(names_here(), 0);
    done(&ran);
    const struct run_how nowhere = {.environment = {"TMPDIR=./nowhere"}};
    ran = run_how(&nowhere, "example", NULL);
    ck_code(ran, 6);
    ck_says(ran.err, "set TMPDIR or name a FILE");
    ck_assert_str_eq(ran.out, "");
    done(&ran);
}
END_TEST

START_TEST(lines_of_the_plan_are_for_a_screen)
{
    struct ran ran = run("example", NULL);
    for (char *line = ran.out; *line;) {
        size_t n = strcspn(line, "\n");
        ck_assert_msg(n <= 120, "%zu characters: %.*s", n, (int)n, line);
        ck_assert_msg(n == 0 || line[n - 1] != ' ', "a line ends in a blank: %.*s", (int)n, line);
        line += n + (line[n] == '\n');
    }
    done(&ran);
}
END_TEST

/* ---- convert ---- */

START_TEST(convert_takes_fractions_sums_and_every_unit)
{
    static const struct {
        const char *value, *unit, *out;
    } good[] = {
        {"1/4in", "mm", "6.35 mm\n"},
        {"=2*6mm+1/8in", "mm", "15.175 mm\n"},
        {"1 1/2 ft", "in", "18 in\n"},
        {"1:30", "min", "90 min\n"},
        {"4,5mm", "cm", "0.45 cm\n"},
        {"2 gal", "L", "7.570823568 L\n"},
        {"100%", "%", "100 %\n"},
        {"60 m/min", "mm/min", "60000 mm/min\n"},
        {"1 lb/min", "g/min", "453.59237 g/min\n"},
    };
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        struct ran ran = run("convert", good[i].value, good[i].unit, NULL);
        ck_code(ran, 0);
        ck_assert_str_eq(ran.out, good[i].out);
        done(&ran);
    }
    struct ran ran = run("convert", "55ksi", "bar", "--json", NULL);
    ck_document(ran.out);
    ck_keys(ran.out, "$", "value:number unit:text canonical:number canonical_unit:text");
    ck_near(json_number(ran.out, "$.value"), 55 * 68.94757293168361L, 1e-15L);
    ck_near(json_number(ran.out, "$.canonical"), 55 * 6.894757293168361L, 1e-15L);
    ck_assert_str_eq(json_text(ran.out, "$.canonical_unit"), "MPa");
    done(&ran);
    ran = run("convert", "4,5mm", "mm", NULL);
    ck_says(ran.err, "read as 4.5");
    done(&ran);
}
END_TEST

START_TEST(convert_refuses_what_is_no_such_number)
{
    ck_refused(2, "no unit \"furlong\"", "convert", "5mm", "furlong");
    ck_refused(2, "no unit \"\"", "convert", "5mm", "");
    ck_refused(3, "kg is a unit of mass", "convert", "5kg", "mm");
    ck_refused(3, "a number is expected", "convert", "x", "mm");
    ck_refused(3, "a number is expected", "convert", "nan", "mm");
    ck_refused(3, "a number is expected", "convert", "", "mm");
    ck_refused(3, "too large", "convert", "1e309mm", "mm");
    ck_refused(3, "type 1200 or 1.2", "convert", "1,200mm", "mm");
    ck_refused(3, "divided by 0", "convert", "1/0in", "mm");
    ck_refused(3, "a unit is expected", "convert", "5", "mm");
}
END_TEST

/* ---- fields, paths ---- */

START_TEST(fields_name_unit_range_and_meaning)
{
    ck_done("new", "--units", "metric", "shop.db");
    struct ran us = run("fields", "--json", NULL),
               metric = run("fields", "stock", "-f", "shop.db", "--json", NULL);
    ck_document(us.out);
    ck_document(metric.out);
    static const char *const kinds[] = {"job", "stock", "part", "shift", "machine", "head", "material"};
    for (int i = 0; i < 7; i++) {
        char sql[200];
        snprintf(sql, sizeof sql,
                 "SELECT count(*) FROM json_each(?1, '$.fields') WHERE json_extract(value, '$.kind') = '%s'",
                 kinds[i]);
        ck_assert_int_ge((int)json_ask(us.out, sql), 6);
        struct ran some = run("fields", kinds[i], NULL);
        ck_code(some, 0);
        ck_says(some.out, "Meaning");
        done(&some);
    }
    ck_keys(us.out, "$.fields[0]", "kind:text field:text unit:text? range:text optional:bool meaning:text");
    const char *thickness =
        "SELECT json_extract(value, '$.unit') = '%s' FROM json_each(?1, '$.fields') WHERE "
        "json_extract(value, '$.kind') = 'stock' AND json_extract(value, '$.field') = 'thickness'";
    char in[400], mm[400];
    snprintf(in, sizeof in, "%s", thickness);
    snprintf(mm, sizeof mm, "%s", thickness);
    memcpy(strstr(in, "%s"), "in", 2);
    memcpy(strstr(mm, "%s"), "mm", 2);
    ck_assert(json_ask(us.out, in) == 1);
    ck_assert(json_ask(metric.out, mm) == 1);
    done(&us);
    done(&metric);
    ck_refused(4, "no shop file missing.db", "fields", "-f", "missing.db");
}
END_TEST

START_TEST(paths_say_which_file_and_why)
{
    static const struct {
        struct run_how how;
        const char *option, *file, *from;
    } ways[] = {
        {{.environment = {"SANDGLASS_FILE=b.db", "XDG_DATA_HOME=./d"}}, "a.db", "a.db", "-f"},
        {{.environment = {"SANDGLASS_FILE=b.db", "XDG_DATA_HOME=./d"}}, NULL, "b.db", "$SANDGLASS_FILE"},
        {{.environment = {"SANDGLASS_FILE=", "XDG_DATA_HOME=./d"}},
         NULL,
         "./d/sandglass/shop.db",
         "$XDG_DATA_HOME"},
        {{.environment = {"HOME=./h"}}, NULL, "./h/.local/share/sandglass/shop.db", "the default place"},
    };
    ck_done("new", "b.db");
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        const char *option = ways[i].option;
        struct ran ran = run_how(&ways[i].how, "paths", "--json", option ? "-f" : NULL, option, NULL);
        ck_code(ran, 0);
        ck_document(ran.out);
        ck_assert_str_eq(json_text(ran.out, "$.file"), ways[i].file);
        ck_assert_str_eq(json_text(ran.out, "$.from"), ways[i].from);
        ck_assert_str_eq(json_type(ran.out, "$.exists"), i == 1 ? "true" : "false");
        done(&ran);
    }
    struct ran ran = run_how(&ways[1].how, "plan", NULL);
    ck_code(ran, 0);
    done(&ran);
    ran = run_how(&ways[2].how, "plan", NULL);
    ck_code(ran, 4);
    ck_says(ran.err,
            "no shop file ./d/sandglass/shop.db (from $XDG_DATA_HOME): `sandglass new FILE` makes one");
    done(&ran);
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, without_a_word_it_says_how_it_is_used);
    tcase_add_test(tcase, version_and_help_are_data);
    tcase_add_test(tcase, each_command_has_help_two_ways);
    tcase_add_test(tcase, the_list_of_commands_is_the_program_itself);
    tcase_add_test(tcase, wrong_use_is_2_and_names_the_thing);
    tcase_add_test(tcase, an_option_may_hold_its_value_and_two_hyphens_end_them);
    tcase_add_test(tcase, output_that_cannot_be_written_is_6);
    tcase_add_test(tcase, a_change_is_kept_even_where_its_report_is_lost);
    tcase_add_test(tcase, an_example_without_a_file_leaves_nothing_behind);
    tcase_add_test(tcase, lines_of_the_plan_are_for_a_screen);
    tcase_add_test(tcase, convert_takes_fractions_sums_and_every_unit);
    tcase_add_test(tcase, convert_refuses_what_is_no_such_number);
    tcase_add_test(tcase, fields_name_unit_range_and_meaning);
    tcase_add_test(tcase, paths_say_which_file_and_why);
}

int main(void)
{
    return run_suite("usage", fill);
}
