/* How long a keystroke, a whole plan and a search for suggestions take. Prints medians; never fails by time.
 */
#include "../edit/shop_file.h"
#include "edit/suggest.h"

#include <time.h>

static struct sg_error error;

static double now_us(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec * 1e6 + (double)now.tv_nsec * 1e-3;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The median of n runs, and the slowest but one in a hundred. */
static void report(const char *what, double *us, int n)
{
    qsort(us, (size_t)n, sizeof *us, by_size);
    printf("%-62s %10.1f us  p99 %10.1f us  of %d\n", what, us[n / 2], us[n - 1 - n / 100], n);
}

enum { MOST_RUNS = 4000 };

static double times[MOST_RUNS];
static volatile double keep_it; /* so that no plan is left out */

/* A quantity of one part after another, typed into a draft and planned. */
static void type_quantities(struct sg_draft *draft, const char *what, int runs)
{
    const struct sg_field *quantity = sg_field_find(SG_KIND_PART, "quantity");
    const struct sg_plan *plan = NULL;
    const int32_t n = sg_draft_shop(draft)->n_parts;
    for (int warm = 0; warm < 2; warm++)
        for (int i = 0; i < runs; i++) {
            struct sg_typed typed;
            char text[16];
            snprintf(text, sizeof text, "%d", 4 + (i + warm) % 30);
            double start = now_us();
            sg_draft_type(draft, (struct sg_target){SG_KIND_PART, i * 37 % n}, quantity, text, &typed);
            shop_must(sg_draft_plan(draft, 0, &plan, &error), &error);
            times[i] = now_us() - start;
            keep_it = plan->ends;
        }
    report(what, times, runs);
}

/* The same without the draft: a quantity changed in a shop in memory, a warm planner. */
static void change_quantities(const struct sg_shop *kept, const char *what, int runs)
{
    struct shop_copy copy = {0};
    struct sg_planner *planner = sg_planner_new();
    const struct sg_plan *plan = NULL;
    shop_copy_take(&copy, kept);
    for (int warm = 0; warm < 2; warm++)
        for (int i = 0; i < runs; i++) {
            double start = now_us();
            copy.shop.parts[i * 37 % copy.shop.n_parts].quantity = 4 + (i + warm) % 30;
            shop_must(sg_plan_shift(planner, &copy.shop, 0, &plan, &error), &error);
            times[i] = now_us() - start;
            keep_it = plan->ends;
        }
    report(what, times, runs);
    sg_planner_free(planner);
    shop_copy_free(&copy);
}

/* Everything anew: another pressure changes each setup. */
static void change_pressures(const struct sg_shop *kept, const char *what, int runs)
{
    struct shop_copy copy = {0};
    struct sg_planner *planner = sg_planner_new();
    const struct sg_plan *plan = NULL;
    shop_copy_take(&copy, kept);
    for (int warm = 0; warm < 2; warm++)
        for (int i = 0; i < runs; i++) {
            double start = now_us();
            copy.shop.heads[0].pressure = 300 + (i + warm) % 50;
            shop_must(sg_plan_shift(planner, &copy.shop, 0, &plan, &error), &error);
            times[i] = now_us() - start;
            keep_it = plan->ends;
        }
    report(what, times, runs);
    sg_planner_free(planner);
    shop_copy_free(&copy);
}

static void bench_lines(int lines, int runs)
{
    struct shop_file file;
    struct sg_draft *draft = NULL;
    shop_file_make(&file, false);
    struct sg_desk *desk = shop_file_desk(&file, SG_STORE_WRITE);
    const char *enough = "bags_in_stock=1000000"; /* the run goes to the last piece */
    struct sg_change change;
    shop_must(sg_desk_set(desk, "machine:main", &enough, 1, true, &change, NULL, &error), &error);
    shop_file_lines(desk, lines);
    sg_desk_close(desk);
    desk = shop_file_desk(&file, SG_STORE_READ);
    shop_must(sg_draft_new(desk, &draft, &error), &error);
    const struct sg_plan *plan = NULL;
    shop_must(sg_draft_plan(draft, 0, &plan, &error), &error);
    printf("%d lines, %d events, %s\n", plan->n_parts, plan->run.n_events,
           plan->run.finished ? "to the last piece" : "out of garnet before the end");
    type_quantities(draft, "  one quantity typed into the draft, and planned", runs);
    change_quantities(sg_desk_shop(desk), "  one quantity changed, core only", runs);
    change_pressures(sg_desk_shop(desk), "  the pressure changed, core only", runs);
    double start = now_us();
    shop_must(sg_draft_reset(draft, &error), &error);
    printf("  a reset of the draft %.1f us\n", now_us() - start);
    sg_draft_free(draft);
    sg_desk_close(desk);
    shop_file_remove(&file);
}

static void bench_suggest(void)
{
    struct shop_file file;
    struct sg_draft *draft = NULL;
    struct sg_suggestion found[SG_SUGGESTIONS];
    int tried = 0, n = 0;
    shop_file_make(&file, true);
    struct sg_desk *desk = shop_file_desk(&file, SG_STORE_READ);
    shop_must(sg_draft_new(desk, &draft, &error), &error);
    type_quantities(draft, "example: one quantity typed into the draft, and planned", 2000);
    for (int i = 0; i < 100; i++) {
        double start = now_us();
        n = sg_suggest(draft, 0, found, &tried, &error);
        times[i] = now_us() - start;
    }
    report("example: suggest", times, 100);
    printf("  %d changes tried, %d suggested\n", tried, n);
    sg_draft_free(draft);
    sg_desk_close(desk);
    shop_file_remove(&file);
}

int main(void)
{
    bench_suggest();
    bench_lines(500, 4000);
    bench_lines(50000, 60);
    return 0;
}
