/* What `set` says of prices: those that `quote` tells before and after it, and nothing of times where none
 * changes. */
#include "cli/json.h"
#include "cli/run.h"

static void price_of(const char *job, char *out, size_t size)
{
    struct ran ran = run("quote", "-f", "shop.db", job, "--json", NULL);
    ck_code(ran, 0);
    snprintf(out, size, "%.2f", json_number(ran.out, "$.price"));
    done(&ran);
}

static void ck_priced(struct ran *ran, const char *job, const char *before, const char *behind)
{
    char after[40], line[200];
    price_of(job, after, sizeof after);
    ck_assert_str_ne(before, after);
    snprintf(line, sizeof line, "price of %s  %s -> %s%s\n", job, before, after, behind);
    ck_says(ran->out, line);
}

START_TEST(a_rate_says_what_each_job_costs_before_and_after)
{
    static const char *const jobs[] = {"2601", "2602", "2603", "2604", "2605"};
    char before[5][40];
    ck_done("example", "shop.db");
    for (int i = 0; i < 5; i++)
        price_of(jobs[i], before[i], sizeof before[i]);
    struct ran ran = run("set", "-f", "shop.db", "rates:shop", "machine=120", "currency=tokens", NULL);
    ck_code(ran, 0);
    for (int i = 0; i < 5; i++)
        ck_priced(&ran, jobs[i], before[i], " tokens");
    ck_says_not(ran.out, "ends");
    ck_says_not(ran.out, "what they did");
    done(&ran);
    ran = run("set", "-f", "shop.db", "rates:shop", "terms=ours", NULL);
    ck_says(ran.out, "5 jobs of the shift cost what they did\n");
    done(&ran);
    ran = run("set", "-f", "shop.db", "rates:shop", "terms=ours", "machine=121", NULL);
    ck_says(ran.out, "rates:shop terms: ours, as it was\nrates:shop machine: 120");
    done(&ran);
}
END_TEST

START_TEST(a_sheets_price_is_said_beside_the_times)
{
    char before[40];
    ck_done("example", "shop.db");
    price_of("2601", before, sizeof before);
    struct ran ran = run("set", "-f", "shop.db", "2601/1", "sheet_price=99.5", NULL);
    ck_code(ran, 0);
    ck_priced(&ran, "2601", before, "");
    ck_says(ran.out, "4 jobs of the shift cost what they did\n");
    ck_says(ran.out, "after   ends");
    done(&ran);
    ran = run("set", "-f", "shop.db", "2601/1", "gap=9", NULL);
    ck_says_not(ran.out, "cost");
    done(&ran);
}
END_TEST

START_TEST(a_price_that_is_not_known_is_said_so)
{
    ck_done("example", "shop.db");
    struct ran ran = run("set", "-f", "shop.db", "rates:shop", "garnet=none", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, ", not the whole price\n");
    done(&ran);
    ran = run("set", "-f", "shop.db", "rates:shop", "mark_up=none", "margin=30", "--dry-run", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, ", not the whole price\n");
    done(&ran);
    ck_done("new", "bare.db");
    ck_done("add", "job", "J", "-f", "bare.db");
    ran = run("set", "-f", "bare.db", "rates:shop", "machine=90", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "1 job of the shift costs what it did\n"); /* it has no pieces */
    done(&ran);
    ck_refused(3, "rates have no field \"gold\"; there are currency, decimals", "set", "-f", "bare.db",
               "rates:shop", "gold=1");
}
END_TEST

static void fill(TCase *t)
{
    tcase_add_test(t, a_rate_says_what_each_job_costs_before_and_after);
    tcase_add_test(t, a_sheets_price_is_said_beside_the_times);
    tcase_add_test(t, a_price_that_is_not_known_is_said_so);
}

int main(void)
{
    return run_suite("set_prices", fill);
}
