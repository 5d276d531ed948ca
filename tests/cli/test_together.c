/* Two people at once: both keep what they typed. */
#include "cli/json.h"
#include "cli/run.h"

static void make_job(void)
{
    make_shop();
    ck_done("add", "-f", "shop.db", "job", "J");
    ck_done("add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=6");
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "cut_length=500");
}

static struct running start(const char *target, const char *assignment)
{
    const char *words[] = {"set", "-f", "shop.db", target, assignment, NULL};
    return start_words(NULL, words);
}

static void ends_well(struct running running)
{
    struct ran ran = finish(running);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    done(&ran);
}

START_TEST(two_fields_of_one_row_set_at_the_same_time)
{
    make_job();
    for (int i = 1; i <= 50; i++) {
        char quantity[40], pierces[40];
        snprintf(quantity, sizeof quantity, "quantity=%d", i);
        snprintf(pierces, sizeof pierces, "pierces=%d", 100 + i);
        struct running one = start("J/1/A", quantity), two = start("J/1/A", pierces);
        ends_well(one);
        ends_well(two);
        struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
        ck_assert(json_number(ran.out, "$.jobs[0].stocks[0].parts[0].quantity") == i);
        ck_assert(json_number(ran.out, "$.jobs[0].stocks[0].parts[0].pierces") == 100 + i);
        done(&ran);
    }
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

START_TEST(rows_of_different_kinds_set_at_the_same_time)
{
    static const char *const targets[] = {"J", "J/1", "J/1/A", "shift:A", "machine:main", "head:abrasive"};
    static const char *const fields[] = {"note", "gap", "quantity", "breaks", "bag", "garnet"};
    make_job();
    for (int i = 10; i < 15; i++) {
        struct running running[6];
        char wanted[6][60];
        for (int k = 0; k < 6; k++) {
            snprintf(wanted[k], sizeof wanted[k], "%s=%s%d", fields[k], k == 3 ? "08:00-08:" : "", i);
            running[k] = start(targets[k], wanted[k]);
        }
        for (int k = 0; k < 6; k++)
            ends_well(running[k]);
        for (int k = 0; k < 6; k++) {
            struct ran ran = run("set", "-f", "shop.db", targets[k], "--list", NULL);
            char line[40];
            snprintf(line, sizeof line, "\n%s ", fields[k]);
            const char *at = strstr(ran.out, line);
            ck_assert_ptr_nonnull(at);
            at += strlen(line);
            at += strspn(at, " ");
            const char *value = strchr(wanted[k], '=') + 1;
            ck_assert_msg(strncmp(at, value, strlen(value)) == 0, "%s: %.40s", wanted[k], at);
            done(&ran);
        }
    }
}
END_TEST

START_TEST(parts_added_at_the_same_time_are_all_there)
{
    enum { AT_ONCE = 6 };
    make_job();
    struct running running[AT_ONCE];
    for (int i = 0; i < AT_ONCE; i++) {
        char part[20];
        snprintf(part, sizeof part, "B%d", i);
        const char *words[] = {"add", "-f", "shop.db", "part", "J/1", part, "cut_length=10", NULL};
        running[i] = start_words(NULL, words);
    }
    for (int i = 0; i < AT_ONCE; i++)
        ends_well(running[i]);
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_assert_int_eq(json_count(ran.out, "$.jobs[0].stocks[0].parts"), 1 + AT_ONCE);
    done(&ran);
}
END_TEST

/* Of two who add the same key one gets it and the other is told. */
START_TEST(one_key_is_given_once)
{
    make_job();
    const char *words[] = {"add", "-f", "shop.db", "job", "K", NULL};
    struct running one = start_words(NULL, words), two = start_words(NULL, words);
    struct ran first = finish(one), second = finish(two);
    ck_assert_msg(first.code + second.code == 3, "%d and %d", first.code, second.code);
    ck_says(first.code ? first.err : second.err, "job K exists already");
    done(&first);
    done(&second);
    one = start_words(NULL, (const char *[]){"new", "fresh.db", NULL});
    two = start_words(NULL, (const char *[]){"new", "fresh.db", NULL});
    first = finish(one);
    second = finish(two);
    ck_assert_msg(first.code + second.code == 6, "%d and %d", first.code, second.code);
    done(&first);
    done(&second);
    ck_quiet("check", "-f", "fresh.db");
    ck_assert_int_eq(names_here(), 2);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, two_fields_of_one_row_set_at_the_same_time);
    tcase_add_test(tcase, rows_of_different_kinds_set_at_the_same_time);
    tcase_add_test(tcase, parts_added_at_the_same_time_are_all_there);
    tcase_add_test(tcase, one_key_is_given_once);
}

int main(void)
{
    return run_suite("together", fill);
}
