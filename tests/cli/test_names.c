/* Names: long ones, from any script, and what no name may hold or no terminal should act on. */
#include "cli/json.h"
#include "cli/run.h"

/* shop.db: metric, job J, stock 1 of 6 mm mild steel with sheets of 2000 x 1000, part A. */
static void make_job(void)
{
    make_shop();
    ck_done("add", "-f", "shop.db", "job", "J");
    ck_done("add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=6", "sheet_length=2000",
            "sheet_width=1000");
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "cut_length=500", "length=100", "width=50");
}

static struct ran plan_json(void)
{
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    return ran;
}

/* Two hundred characters, some of more bytes than one. */
static void long_name(char *out, int characters, const char *character)
{
    *out = '\0';
    for (int i = 0; i < characters; i++)
        strcat(out, character);
}

START_TEST(names_of_two_hundred_characters_are_kept_and_found_again)
{
    static const char *const characters[] = {"x", "\xC3\xA9", "\xE6\x9D\xBF", "\xF0\x9F\x94\xA7"};
    make_job();
    for (int i = 0; i < 4; i++) {
        char name[1000], key[1100], assignment[1100];
        long_name(name, 200, characters[i]);
        snprintf(key, sizeof key, "J/1/%s", name);
        snprintf(assignment, sizeof assignment, "name=%s", name);
        ck_quiet("add", "-f", "shop.db", "part", "J/1", name, "cut_length=10");
        ck_quiet("set", "-f", "shop.db", key, "quantity=3", assignment);
        struct ran ran = plan_json();
        char path[60];
        snprintf(path, sizeof path, "$.jobs[0].stocks[0].parts[%d].part", i + 1);
        ck_assert_str_eq(json_text(ran.out, path), name);
        snprintf(path, sizeof path, "$.jobs[0].stocks[0].parts[%d].name", i + 1);
        ck_assert_str_eq(json_text(ran.out, path), name);
        done(&ran);
        ran = run("sheet", "-f", "shop.db", "J", "--csv", NULL);
        ck_says(ran.out, name);
        done(&ran);
        ran = run("plan", "-f", "shop.db", NULL);
        ck_code(ran, 0);
        done(&ran);
        struct bytes before = bytes_of("shop.db");
        strcat(assignment, characters[i]);
        ck_refused(3, "200", "set", "-f", "shop.db", "J/1/A", assignment);
        ck_refused(3, "200", "add", "-f", "shop.db", "part", "J/1", assignment + 5);
        ck_unchanged("shop.db", &before);
    }
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

START_TEST(control_characters_and_broken_utf8_are_refused_in_names)
{
    static const char *const bad[] = {"a\x01z", "a\x1b[31mz", "a\x7fz", "a\xC2\x85z",
                                      "a\rz",   "a\xFFz",     "a\xC3",  "a\xED\xA0\x80z"};
    make_job();
    struct bytes before = bytes_of("shop.db");
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        char assignment[60];
        snprintf(assignment, sizeof assignment, "name=%s", bad[i]);
        ck_refused(3, "name=", "set", "-f", "shop.db", "J/1/A", assignment);
        ck_refused(3, "the key of the part", "add", "-f", "shop.db", "part", "J/1", bad[i]);
    }
    ck_unchanged("shop.db", &before);
}
END_TEST

START_TEST(marks_that_turn_the_writing_are_kept_in_files_and_shown_escaped)
{
    static const char *const name = "pl\xE2\x80\xAE"
                                    "ate",
                             *const line = "two\nlines\tand a tab";
    char assignment[60], note[60];
    make_job();
    snprintf(assignment, sizeof assignment, "name=%s", name);
    snprintf(note, sizeof note, "note=%s", line);
    struct ran ran = run("set", "-f", "shop.db", "J/1/A", assignment, note, NULL);
    ck_code(ran, 0);
    ck_says_not(ran.out, "\xE2\x80\xAE");
    done(&ran);
    static const char *const texts[][4] = {
        {"plan", "-f", "shop.db"}, {"sheet", "-f", "shop.db", "J"}, {"set", "-f", "shop.db", "J/1/A"}};
    for (int i = 0; i < 3; i++) {
        ran = run(texts[i][0], texts[i][1], texts[i][2],
                  texts[i][3] ? texts[i][3]
                  : i == 2    ? "J/1/A"
                              : NULL,
                  i == 2 ? "--list" : NULL, NULL);
        ck_code(ran, 0);
        ck_says_not(ran.out, "\xE2\x80\xAE");
        ck_says(ran.out, "pl\\u202eate");
        done(&ran);
    }
    ran = run("sheet", "-f", "shop.db", "J", "--csv", NULL);
    ck_says(ran.out, name);
    ck_says(ran.out, "\"two\nlines\tand a tab\"");
    done(&ran);
    ran = plan_json();
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[0].parts[0].name"), name);
    done(&ran);
}
END_TEST

/* A job's name, customer and note, and a key, stand in texts outside of tables too. */
START_TEST(no_text_turns_the_terminal_around)
{
    static const char *const mark = "\xE2\x80\xAE";
    make_job();
    ck_done("set", "-f", "shop.db", "J", "name=n\xE2\x80\xAEx", "customer=c\xE2\x80\xAEx",
            "note=t\xE2\x80\xAEx\nsecond line");
    ck_done("add", "-f", "shop.db", "part", "J/1", "k\xE2\x80\xAEx", "cut_length=10");
    ck_done("add", "-f", "shop.db", "shift", "s\xE2\x80\xAEx", "date=2026-12-02");
    ck_done("add", "-f", "shop.db", "material", "m\xE2\x80\xAEx", "machinability=100");
    ck_done("add", "-f", "shop.db", "stock", "J", "material=m\xE2\x80\xAEx", "thickness=3");
    ck_done("add", "-f", "shop.db", "part", "J/2", "k\xE2\x80\xAEx", "cut_length=10");
    static const char *const calls[][7] = {{"plan", "-f", "shop.db"},
                                           {"plan", "-f", "shop.db", "s\xE2\x80\xAEx"},
                                           {"sheet", "-f", "shop.db", "J"},
                                           {"set", "-f", "shop.db", "J", "--list"},
                                           {"set", "-f", "shop.db", "J/1/k\xE2\x80\xAEx", "quantity=3"},
                                           {"set", "-f", "shop.db", "shift:s\xE2\x80\xAEx", "start=7:00"},
                                           {"set", "-f", "shop.db", "J/1/z\xE2\x80\xAEx", "quantity=3"},
                                           {"set", "-f", "shop.db", "J", "name=m\xE2\x80\xAEy"},
                                           {"set", "-f", "shop.db", "J", "a\xE2\x80\xAEy=1"},
                                           {"add", "-f", "shop.db", "job", "q\xE2\x80\xAEy"},
                                           {"plan", "-f", "n\xE2\x80\xAEone.db"},
                                           {"plan", "-f", "shop.db", "z\xE2\x80\xAEx"},
                                           {"sheet", "-f", "shop.db", "z\xE2\x80\xAEx"},
                                           {"convert", "1\xE2\x80\xAEx", "mm"},
                                           {"z\xE2\x80\xAEx"}};
    for (size_t i = 0; i < sizeof calls / sizeof *calls; i++) {
        struct ran ran = finish(start_words(NULL, calls[i]));
        ck_assert_msg(strstr(ran.out, mark) == NULL && strstr(ran.err, mark) == NULL, "call %zu (%s): %s%s",
                      i, calls[i][0], ran.out, ran.err);
        done(&ran);
    }
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, names_of_two_hundred_characters_are_kept_and_found_again);
    tcase_add_test(tcase, control_characters_and_broken_utf8_are_refused_in_names);
    tcase_add_test(tcase, marks_that_turn_the_writing_are_kept_in_files_and_shown_escaped);
    tcase_add_test(tcase, no_text_turns_the_terminal_around);
}

int main(void)
{
    return run_suite("names", fill);
}
