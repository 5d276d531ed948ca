/* Sorting: in order, and equal items in the order in which they came. */
#include "sandglass/sort.h"

#include "support/must.h"
#include "support/random.h"
#include "support/suite.h"

#include <check.h>
#include <stdbool.h>

enum { MOST = 300 };

struct pair {
    int32_t key, index;
};

static int by_key(const void *a, const void *b)
{
    const struct pair *x = a, *y = b;
    return (x->key > y->key) - (x->key < y->key);
}

static struct pair items[MOST + 1], scratch[MOST + 1];

static void ck_sorts(int32_t n)
{
    bool seen[MOST] = {false};
    int64_t sum = 0, sorted = 0;
    for (int32_t i = 0; i < n; i++) {
        items[i].index = i;
        sum += items[i].key;
    }
    items[n] = scratch[n] = (struct pair){-77, -77};
    sg_sort(items, scratch, n, sizeof *items, by_key);
    for (int32_t i = 0; i < n; i++) {
        sorted += items[i].key;
        must_hold(items[i].index >= 0 && items[i].index < n && !seen[items[i].index]);
        seen[items[i].index] = true;
        must_hold(i == 0 || items[i - 1].key <= items[i].key);
        must_hold(i == 0 || items[i - 1].key < items[i].key || items[i - 1].index < items[i].index);
    }
    must_hold(sum == sorted && items[n].key == -77 && scratch[n].key == -77); /* nothing behind the end */
}

START_TEST(anything_is_sorted)
{
    struct random r = {2718};
    for (int round = 0; round < 3000; round++) {
        int32_t n = (int32_t)random_below(&r, MOST + 1), run = 1 + (int32_t)random_below(&r, 40);
        unsigned keys = 1 + random_below(&r, 200), kind = random_below(&r, 3);
        for (int32_t i = 0; i < n; i++) /* at random, rising runs, falling runs */
            items[i].key = kind == 0 ? (int32_t)random_below(&r, keys) : kind == 1 ? i % run : -(i % run);
        ck_sorts(n);
    }
}
END_TEST

/* A grid that lies in rows is sorted into columns with few comparisons; in columns up and down, with next to
 * none. */
static int64_t compared;

static int counted(const void *a, const void *b)
{
    compared++;
    return by_key(a, b);
}

START_TEST(runs_are_merged_in_few_steps)
{
    static struct pair grid[100 * 100], more[100 * 100];
    for (int32_t i = 0; i < 10000; i++)
        grid[i].key = i % 100 * 100 + i / 100; /* 100 rows: 7 times to find the runs and to merge */
    compared = 0;
    sg_sort(grid, more, 10000, sizeof *grid, counted);
    ck_assert_int_le(compared, 10000 * (2 * 7 + 4));
    for (int32_t i = 0; i < 10000; i++)
        grid[i].key = i / 100 * 100 + (i / 100 % 2 ? 99 - i % 100 : i % 100);
    compared = 0;
    sg_sort(grid, more, 10000, sizeof *grid, counted);
    ck_assert_int_le(compared, 10000 * 5 / 2);
    for (int32_t i = 0; i < 10000; i++)
        ck_assert_int_eq(grid[i].key, i);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("sort");
    tcase_add_test(tests, anything_is_sorted);
    tcase_add_test(tests, runs_are_merged_in_few_steps);
    return run_case("sort", tests);
}
