/* repeat: a job again, with what its clocks say. */
#include "cli/json.h"
#include "cli/run.h"

#define DAY "2026-12-01 "
#define ck_record(time, ...) ck_done("record", __VA_ARGS__, "--at", DAY time, "-f", "shop.db")

static char *json_of(struct ran ran)
{
    ck_code(ran, 0);
    ck_document(ran.out);
    free(ran.err);
    return ran.out;
}

/* Flanges, 12 on a sheet: the plan says how long; they take twice that. */
START_TEST(what_took_twice_as_long_is_planned_so)
{
    ck_done("example", "shop.db");
    ck_record("06:00", "load", "2602/1");
    ck_record("06:20", "start", "2602/1");
    ck_record("08:20", "done", "12");
    ck_record("08:20", "stop");
    char *again = json_of(run("repeat", "2602", "2702", "--json", "-f", "shop.db", NULL));
    ck_assert_int_eq((int)json_number(again, "$.stocks[0].clocks"), 1);
    ck_near(json_number(again, "$.stocks[0].took_s"), 7200, 1e-9);
    ck_near(json_number(again, "$.stocks[0].load_s"), 1200, 1e-9);
    double planned = json_number(again, "$.stocks[0].planned_s");
    double faster = json_number(again, "$.stocks[0].feed_override");
    ck_assert(planned > 600 && planned < 7200 && faster < 1);
    free(again);
    char *plan = json_of(run("plan", "--json", "-f", "shop.db", NULL));
    const char *part = "$.jobs[#-1].stocks[0].parts[0]."; /* it was put behind the others */
    char path[80];
    double seconds = 0;
    for (int i = 0; i < 3; i++) {
        static const char *const rows[] = {"cut_s", "pierce_s", "rapid_s"};
        snprintf(path, sizeof path, "%s%s", part, rows[i]);
        seconds += json_number(plan, path);
    }
    ck_near(seconds, 7200, 1e-3);
    free(plan);
    ck_done("undo", "-f", "shop.db"); /* one step */
    ck_refused(3, "no job", "set", "-f", "shop.db", "2702", "name=x");
}
END_TEST

START_TEST(what_was_not_clocked_is_copied_as_it_is)
{
    ck_done("example", "shop.db");
    struct ran ran = run("repeat", "2601", "2701", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_assert_ptr_nonnull(strstr(ran.out, "2701/1  no cut of it was clocked to its end: as it was planned"));
    done(&ran);
}
END_TEST

START_TEST(what_cannot_be_repeated_is_refused)
{
    ck_done("example", "shop.db");
    ck_refused(3, "a job is repeated; 2601/1 is a stock", "repeat", "2601/1", "2701", "-f", "shop.db");
    ck_refused(3, "2602", "repeat", "2601", "2602", "-f", "shop.db");
    ck_refused(3, "no job", "repeat", "none", "2602", "-f", "shop.db");
    ck_refused(3, "there is no shift Z", "repeat", "2601", "2701", "--shift", "Z", "-f", "shop.db");
}
END_TEST

static void fill(TCase *tests)
{
    tcase_add_test(tests, what_took_twice_as_long_is_planned_so);
    tcase_add_test(tests, what_was_not_clocked_is_copied_as_it_is);
    tcase_add_test(tests, what_cannot_be_repeated_is_refused);
}

int main(void)
{
    return run_suite("repeat", fill);
}
