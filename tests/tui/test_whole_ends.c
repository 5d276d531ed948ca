/* However the program ends, what is under the fingers is offered by the next, and the shop file is sound. */
#include "support/random.h"
#include "tui/whole.h"

static const struct whole plain = {0}, in_shell = {.shell = true};

enum { DRAFT_MS = 200 /* of typing may be lost by a kill */ };

/* The text that the next start offers in the quantity of part A; "" where it offers none. */
static void ck_offered(const char *text)
{
    char offer[80], field[40];
    struct pty *pty = launch(&plain);
    snprintf(offer, sizeof offer, "\"%s\" was typed here by", text);
    snprintf(field, sizeof field, "[%s_", text);
    ck_assert(pty_settle(pty, offer));
    ck_assert(pty_wait_text(pty, field));
    ck_row(pty, TITLE_ROW, "DRAFT, not yet in plan");
    ck_assert_int_eq(quantity_in_file(0), 20);
    leave(pty, "<Esc>qq");
    ck_assert_int_eq(names_here(), 1);
}

static double exit_within(struct pty *pty, int *status)
{
    double began = seconds_now();
    *status = pty_wait_exit(pty);
    return seconds_now() - began;
}

/* ---- with a warning ---- */

enum { HANG_UP = -1 };
static const int warnings[] = {HANG_UP, SIGHUP, SIGTERM};

START_TEST(what_was_typed_when_the_terminal_went_is_offered)
{
    int status;
    struct pty *pty = open_job(&plain);
    type(pty, "35", "quantity 20 -> 35 ");
    if (warnings[_i] == HANG_UP)
        pty_hang_up(pty);
    else
        pty_signal(pty, warnings[_i]);
    ck_assert_double_lt(exit_within(pty, &status), 1);
    ck_assert_int_eq(status, 0);
    ck_assert_double_lt(pty_cpu_s(pty), 1); /* all of its life: it did not spin */
    pty_end(pty);
    ck_assert_int_eq(names_here(), 2);
    ck_assert_int_eq(names_with("shop.db.draft-"), 1);
    ck_quiet("check", "-f", "shop.db");
    ck_offered("35");
}
END_TEST

/* Also a text that is no value is somebody's work. */
START_TEST(a_wrong_text_is_offered_as_well)
{
    struct pty *pty = open_job(&plain);
    type(pty, "12x", "without unit");
    pty_signal(pty, SIGHUP);
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    pty_end(pty);
    ck_offered("12x");
}
END_TEST

START_TEST(without_a_field_open_nothing_is_left)
{
    struct pty *pty = open_job(&plain);
    type(pty, "35<Enter>", "kept");
    if (warnings[_i] == HANG_UP)
        pty_hang_up(pty);
    else
        pty_signal(pty, warnings[_i]);
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    pty_end(pty);
    ck_assert_int_eq(quantity_in_file(0), 35);
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

START_TEST(leaving_in_order_leaves_nothing)
{
    static const char *const ways[] = {"7<Esc>qq", "7<Enter>qq", "7x<Tab><Esc>qq", "q<F10>",
                                       ":leave<Enter>q"};
    struct pty *pty = open_job(&plain);
    pty_keys(pty, ways[_i]);
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    ck_assert(!pty_state(pty).alternate);
    ck_assert(pty_state(pty).cursor);
    ck_assert(pty_is_cooked(pty));
    pty_end(pty);
    ck_assert_int_eq(names_here(), 1);
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

/* ---- with none ---- */

enum { TYPED = 40 };

/* Types digits, one by one or in bursts, and kills in the middle. What was typed for longer than the time
 * that may be lost is in *safe, all of it in *sent. */
static void type_and_kill(uint64_t seed, char *sent, size_t *safe)
{
    struct random random = {seed * 2 + 1};
    struct pty *pty = open_job(&plain);
    long long at[TYPED];
    size_t n = 1 + random_below(&random, TYPED - 1);
    for (size_t i = 0; i < n; i++) {
        sent[i] = (char)('1' + random_below(&random, 9));
        pty_bytes(pty, &sent[i], 1);
        at[i] = pty_now_ms();
        pty_pump(pty, (int)random_below(&random, 20));
    }
    sent[n] = '\0';
    while (pty_now_ms() < at[n - 1] + (long long)random_below(&random, 300))
        pty_pump(pty, 5);
    kill(pty->pid, SIGKILL);
    long long killed = pty_now_ms();
    ck_assert_int_eq(pty_wait_exit(pty), 128 + SIGKILL);
    pty_end(pty);
    for (*safe = 0; *safe < n && at[*safe] + DRAFT_MS < killed;)
        ++*safe;
}

static bool is_answered(struct pty *pty, const void *nothing)
{
    (void)nothing;
    return is_shown(pty, "was typed here by") || is_shown(pty, "saved");
}

START_TEST(a_kill_while_typing_loses_a_moment_at_most)
{
    char sent[TYPED + 1], offered[TYPED + 1] = "";
    size_t safe;
    type_and_kill((uint64_t)_i + 1, sent, &safe);
    ck_quiet("check", "-f", "shop.db");
    ck_assert_int_eq(quantity_in_file(0), 20);
    struct pty *pty = launch(&plain);
    ck_assert(pty_wait(pty, is_answered, NULL, "the first picture"));
    if (is_shown(pty, "was typed here by")) {
        ck_assert(pty_settle(pty, "was typed here by"));
        const char *said = pty_row(pty, WORDS_ROW);
        ck_assert_int_eq(said[0], '"');
        snprintf(offered, sizeof offered, "%.*s", (int)strcspn(said + 1, "\""), said + 1);
        ck_assert_uint_ge(strlen(offered), 1);
    }
    ck_assert_msg(strncmp(offered, sent, strlen(offered)) == 0, "%s of %s", offered, sent);
    ck_assert_msg(strlen(offered) >= safe, "%s of %s, %zu are old", offered, sent, safe);
    leave(pty, offered[0] ? "<Esc>qq" : "q");
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

/* A kill while keeping: the old value or the new one, and the file is sound. */
START_TEST(a_kill_while_keeping_keeps_it_or_not)
{
    struct random random = {(uint64_t)_i * 2 + 77};
    struct pty *pty = open_job(&plain);
    type(pty, "35", "quantity 20 -> 35 ");
    pty_keys(pty, "<Enter>");
    pty_pump(pty, (int)random_below(&random, 6));
    kill(pty->pid, SIGKILL);
    ck_assert_int_eq(pty_wait_exit(pty), 128 + SIGKILL);
    pty_end(pty);
    ck_done("check", "-f", "shop.db");
    int quantity = quantity_in_file(0);
    ck_assert(quantity == 20 || quantity == 35);
}
END_TEST

/* ---- stopped and gone on ---- */

START_TEST(a_field_is_still_open_after_a_stop)
{
    struct pty *pty = open_job(&in_shell);
    type(pty, "12", "quantity 20 -> 12 ");
    char *before = pty_screen(pty);
    pty_keys(pty, "<Ctrl-Z>");
    ck_assert(pty_wait_text(pty, "stopped"));
    ck_assert(!pty_state(pty).alternate);
    ck_assert_int_eq(names_with("shop.db.draft-"), 1);
    pty_keys(pty, "<Enter>");
    ck_assert(pty_wait(pty, looks_like, before, "the screen from before the stop"));
    free(before);
    type(pty, "5<Enter>", "quantity 20 -> 125 kept");
    ck_assert_int_eq(quantity_in_file(0), 125);
    leave(pty, "qq");
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

/* ---- the first run ---- */

static struct pty *first_run(void)
{
    char home[600], temporary[600];
    snprintf(home, sizeof home, "HOME=%s/home", folder);
    snprintf(temporary, sizeof temporary, "TMPDIR=%s/temporary", folder);
    ck_assert_int_eq(unlink("shop.db"), 0);
    ck_assert_int_eq(mkdir("home", 0700), 0);
    ck_assert_int_eq(mkdir("temporary", 0700), 0);
    struct pty *pty = pty_start(
        &(struct pty_how){.program = PROGRAM, .environment = (const char *[]){home, temporary, NULL}});
    ck_assert(pty_settle(pty, "ENDS 14:41"));
    ck_row(pty, TITLE_ROW, "example");
    return pty;
}

/* Nothing is in either folder, so that both can go. */
static void nothing_is_left(void)
{
    ck_assert_int_eq(rmdir("temporary"), 0);
    ck_assert_int_eq(rmdir("home"), 0);
}

START_TEST(the_first_run_opens_the_example_and_leaves_nothing)
{
    struct pty *pty = first_run();
    type(pty, "<Enter>30", "quantity 20 -> 30 ");
    type(pty, "<Enter>", "kept");
    type(pty, "31", "quantity 36 -> 31 ");
    pty_keys(pty, "<Esc>qq");
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    ck_assert(is_shown(pty, "example shop"));
    ck_assert(is_shown(pty, "sandglass new FILE"));
    pty_end(pty);
    nothing_is_left();
}
END_TEST

START_TEST(a_first_run_that_is_told_to_end_leaves_nothing)
{
    struct pty *pty = first_run();
    type(pty, "<Enter>30", "quantity 20 -> 30 ");
    if (warnings[_i] == HANG_UP)
        pty_hang_up(pty);
    else
        pty_signal(pty, warnings[_i]);
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    pty_end(pty);
    nothing_is_left();
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_loop_test(tcase, what_was_typed_when_the_terminal_went_is_offered, 0, COUNT(warnings));
    tcase_add_test(tcase, a_wrong_text_is_offered_as_well);
    tcase_add_loop_test(tcase, without_a_field_open_nothing_is_left, 0, COUNT(warnings));
    tcase_add_loop_test(tcase, leaving_in_order_leaves_nothing, 0, 5);
    tcase_add_loop_test(tcase, a_kill_while_typing_loses_a_moment_at_most, 0, 20);
    tcase_add_loop_test(tcase, a_kill_while_keeping_keeps_it_or_not, 0, 10);
    tcase_add_test(tcase, a_field_is_still_open_after_a_stop);
    tcase_add_test(tcase, the_first_run_opens_the_example_and_leaves_nothing);
    tcase_add_loop_test(tcase, a_first_run_that_is_told_to_end_leaves_nothing, 0, COUNT(warnings));
}

int main(void)
{
    return run_whole("whole ends", fill);
}
