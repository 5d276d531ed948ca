/* sweep: what is said of the steps, for people. */
#include "cli/sweeps.h"

/* A feed far above what the ratio allows is quicker by the formula than any step that is allowed. */
START_TEST(a_setting_that_is_not_allowed_is_said_to_be_so_and_the_best_to_be_of_the_others)
{
    make_job();
    struct ran ran = run("sweep", "J", "garnet=250..350:10", "-f", "shop.db", NULL);
    ck_assert(!strstr(ran.out, "of those allowed"));
    ck_says(ran.out, "Quickest: 350 g/min: ");
    done(&ran);
    ran = run("sweep", "J", "garnet=250..290:10", "-f", "shop.db", NULL); /* now 300 */
    ck_says(ran.out, "Quickest of these steps: 290 g/min: ");
    ck_assert(!strstr(ran.out, "of those allowed"));
    done(&ran);
    ck_done("set", "-f", "shop.db", "head:abrasive", "garnet=2000 g/min");
    ran = run("sweep", "J", "garnet=250..350:10", "-f", "shop.db", NULL);
    ck_says(ran.out, "Now: 2000 g/min: ");
    ck_says(ran.out, " As a step it would not be allowed");
    ck_says(ran.out, "0.25");
    ck_says(ran.out, "the formula would go");
    ck_says(ran.out, "Quickest of those allowed: 350 g/min: ");
    ck_says(ran.out, " more time");
    done(&ran);
}
END_TEST

START_TEST(steps_are_shown_with_so_many_digits_that_they_differ)
{
    make_job();
    struct ran ran = run("sweep", "J", "pressure=300..300.1:0.05", "-f", "shop.db", NULL);
    ck_says(ran.out, "300.00 ");
    ck_says(ran.out, "300.05 ");
    ck_says(ran.out, "300.10 ");
    done(&ran);
    ran = run("sweep", "J", "pressure=300..320:10", "-f", "shop.db", NULL);
    ck_assert(!strstr(ran.out, "300.0"));
    done(&ran);
}
END_TEST

static void fill(TCase *t)
{
    tcase_add_test(t, a_setting_that_is_not_allowed_is_said_to_be_so_and_the_best_to_be_of_the_others);
    tcase_add_test(t, steps_are_shown_with_so_many_digits_that_they_differ);
}

int main(void)
{
    return run_suite("sweep, told", fill);
}
