/* Bytes that nobody typed: pastes, and sequences that are no key here. */
#include "tui/whole.h"

static const struct whole plain = {0};

START_TEST(a_paste_into_a_field_is_one_step)
{
    struct pty *pty = open_job(&plain);
    char *before = pty_screen(pty);
    type(pty, "<Left>e", "DRAFT");
    pty_paste(pty, " and\rthe\tother one\r");
    ck_assert(pty_wait_text(pty, "bracket, long -> bracket, long and the other one "));
    pty_keys(pty, "<Esc><Right>");
    ck_assert(pty_wait(pty, looks_like, before, "the screen from before the paste"));
    free(before);
    type(pty, "<Left>e", "DRAFT");
    pty_paste(pty, " and\rthe other");
    ck_assert(pty_wait_text(pty, "bracket, long and the other "));
    type(pty, "<Enter>", "kept");
    type(pty, "u", "taken back");
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[0].parts[0].name"), "bracket, long");
    done(&ran);
    leave(pty, "qq");
}
END_TEST

START_TEST(a_number_is_pasted_like_typed)
{
    struct pty *pty = open_job(&plain);
    type(pty, "3", "quantity 20 -> 3 ");
    pty_paste(pty, "5\r");
    ck_assert(pty_settle(pty, "quantity 20 -> 35 "));
    type(pty, "<Enter>", "quantity 20 -> 35 kept");
    ck_assert_int_eq(quantity_in_file(0), 35);
    leave(pty, "qq");
}
END_TEST

START_TEST(a_paste_that_is_too_long_is_refused_whole)
{
    char text[302];
    memset(text, 'x', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    struct pty *pty = open_job(&plain);
    type(pty, "<Left>e", "DRAFT");
    pty_paste(pty, text);
    ck_assert(pty_wait_text(pty, "301 characters pasted into 13, at most 200: nothing is taken"));
    leave(pty, "<Esc>qq");
}
END_TEST

/* Not one character of it is a key. */
static const char *const at_rest[] = {"xdJq", "q\rq\rq", "u", "5\r", "a,b", ":cut\r"};

START_TEST(a_paste_at_rest_does_nothing_and_says_so)
{
    char said[80];
    struct bytes before = bytes_of("shop.db");
    struct pty *pty = open_job(&plain);
    pty_paste(pty, at_rest[_i]);
    snprintf(said, sizeof said, "Pasted %zu characters, no field open: nothing done.", strlen(at_rest[_i]));
    ck_row(pty, WORDS_ROW, said);
    ck_row(pty, TITLE_ROW, "JOB 2601");
    ck_unchanged("shop.db", &before);
    leave(pty, "qq");
}
END_TEST

static double parts_of_the_job(void)
{
    return plan_number("$.jobs[0].stocks[0].parts[#-1].quantity");
}

START_TEST(a_pasted_table_opens_the_import_check)
{
    struct pty *pty = open_job(&plain);
    struct bytes before = bytes_of("shop.db");
    pty_paste(pty, "part\tquantity\tcut_length\tpierces\rC\t8\t44\t3\rD\tfour\t20\t1\r");
    ck_assert(pty_settle(pty, "IMPORT"));
    ck_assert(pty_wait_text(pty, "1 row"));
    ck_assert(pty_wait_text(pty, "nothing of it is in the plan yet"));
    ck_unchanged("shop.db", &before);
    type(pty, "i", "JOB 2601");
    ck_assert_double_eq(parts_of_the_job(), 8);
    type(pty, "u", "taken back");
    ck_assert_double_eq(parts_of_the_job(), 36);
    leave(pty, "qq");
}
END_TEST

/* Whole and in halves: what a terminal sends by itself, or for keys that are none here. */
static const char *const loose[] = {
    "\033[1;5D",                        /* Ctrl-Left */
    "\033[3;5~",                        /* Ctrl-Delete */
    "\033[15;2~",                       /* Shift-F5 */
    "\033[I\033[O",                     /* the window is looked at, is not */
    "\033[<0;10;10M\033[<0;10;10m",     /* a click that nobody asked for */
    "\033[>0;276;0c",                   /* its version */
    "\033[12;40R",                      /* where its cursor is */
    "\033]11;rgb:0000/0000/0000\033\\", /* its background */
    "\033]11;rgb:0000/0000/0000\007",   /* the same, ended the old way */
    "\033P1$r0m\033\\",                 /* a setting */
    "\033_hello\033\\",                 /* an application's word */
    "\033[?62;1;2;4c\033[?2026;2$y",    /* its kind, a mode */
};

START_TEST(a_loose_sequence_is_swallowed_whole)
{
    struct bytes before = bytes_of("shop.db");
    struct pty *pty = open_job(&plain);
    type(pty, "3", "quantity 20 -> 3 ");
    pty_bytes(pty, loose[_i], strlen(loose[_i]));
    type(pty, "0", "quantity 20 -> 30 ");
    ck_assert(is_shown(pty, "[30_"));
    for (const char *byte = loose[_i]; *byte; byte++) { /* a slow line */
        pty_bytes(pty, byte, 1);
        pty_pump(pty, 1);
    }
    type(pty, "5", "quantity 20 -> 305 ");
    ck_unchanged("shop.db", &before);
    leave(pty, "<Esc>qq");
}
END_TEST

START_TEST(bytes_that_are_no_characters_are_no_text)
{
    struct pty *pty = open_job(&plain);
    type(pty, "3", "quantity 20 -> 3 ");
    pty_bytes(pty, "\xFF\xC3\x28\xED\xA0\x80\x80", 7);
    ck_assert(pty_settle(pty, "DRAFT"));
    type(pty, "<Ctrl-U>41", "quantity 20 -> 41 ");
    leave(pty, "<Esc>qq");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, a_paste_into_a_field_is_one_step);
    tcase_add_test(tcase, a_number_is_pasted_like_typed);
    tcase_add_test(tcase, a_paste_that_is_too_long_is_refused_whole);
    tcase_add_loop_test(tcase, a_paste_at_rest_does_nothing_and_says_so, 0, COUNT(at_rest));
    tcase_add_test(tcase, a_pasted_table_opens_the_import_check);
    tcase_add_loop_test(tcase, a_loose_sequence_is_swallowed_whole, 0, COUNT(loose));
    tcase_add_test(tcase, bytes_that_are_no_characters_are_no_text);
}

int main(void)
{
    return run_whole("whole pastes", fill);
}
