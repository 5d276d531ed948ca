/* How many sheets a layout takes and how long it takes to make: instances drawn from the published ranges of
 * ten classes (1-6 Berkey & Wang, J. Oper. Res. Soc. 38 (1987) 423-429; 7-10 Martello & Vigo, Management
 * Science 44 (1998) 388-399; the ranges from memory) with random numbers of our own, so they are not the
 * published instances and are compared with the lower bound of the same run; on the published ones the best
 * known totals are 1.2 % (fixed) and 1.3 % (turning) above such bounds. Then jobs of a shop. For information;
 * nothing here fails. */
#include "sandglass/layout.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { CLASSES = 10, MOST = 100, EACH = 10, RUNS = 15 };

static uint64_t state;

static double now_ms(void) /* of the processor, so that others on it do not count */
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec * 1e3 + (double)now.tv_nsec * 1e-6;
}

/* low to high, both among them */
static int draw(int low, int high)
{
    state ^= state << 13;
    state ^= state >> 7;
    state ^= state << 17;
    return low + (int)((state * 0x2545F4914F6CDD1Du >> 33) % (unsigned)(high - low + 1));
}

/* ---- the classes ---- */

struct instance {
    struct sg_layout_part parts[MOST];
    struct sg_layout_sheet sheet;
    int n;
};

static void draw_typed(int class, struct sg_layout_part *part)
{
    static const int ranges[4][4] = {{67, 100, 1, 50}, {1, 50, 67, 100}, {50, 100, 50, 100}, {1, 50, 1, 50}};
    int type = draw(0, 9), own = class - 7;
    if (type > 2)
        type = own;
    else if (type >= own)
        type++;
    part->length = draw(ranges[type][0], ranges[type][1]);
    part->width = draw(ranges[type][2], ranges[type][3]);
}

static void make(int class, int n, bool turn, struct instance *instance)
{
    static const int sheets[] = {10, 30, 40, 100, 100, 300, 100, 100, 100, 100};
    static const int most[] = {10, 10, 35, 35, 100, 100};
    instance->n = n;
    instance->sheet = (struct sg_layout_sheet){sheets[class - 1], sheets[class - 1], -1};
    for (int i = 0; i < n; i++) {
        struct sg_layout_part *part = &instance->parts[i];
        if (class > 6) {
            draw_typed(class, part);
        } else {
            part->length = draw(1, most[class - 1]);
            part->width = draw(1, most[class - 1]);
        }
        part->quantity = 1;
        part->turn = turn;
    }
}

struct totals {
    int64_t sheets, bound, by_class[CLASSES], bound_by_class[CLASSES];
    int at_bound;
    double ms, worst_ms;
};

static void run_classes(bool turn, int32_t effort, struct sg_layout *layout, struct totals *totals)
{
    static struct instance instance;
    *totals = (struct totals){0};
    state = 20240229;
    for (int class = 1; class <= CLASSES; class ++)
        for (int n = 20; n <= MOST; n += 20)
            for (int i = 0; i < EACH; i++) {
                make(class, n, turn, &instance);
                struct sg_layout_input input = {.parts = instance.parts,
                                                .n_parts = instance.n,
                                                .sheets = &instance.sheet,
                                                .n_sheets = 1,
                                                .effort = effort};
                double start = now_ms();
                if (!sg_layout_make(&input, layout))
                    exit(EXIT_FAILURE);
                double ms = now_ms() - start;
                totals->ms += ms;
                totals->worst_ms = ms > totals->worst_ms ? ms : totals->worst_ms;
                totals->sheets += layout->sheets;
                totals->bound += layout->lower_bound;
                totals->by_class[class - 1] += layout->sheets;
                totals->bound_by_class[class - 1] += layout->lower_bound;
                totals->at_bound += layout->sheets == layout->lower_bound;
            }
}

static void bench_classes(struct sg_layout *layout, bool turn, bool by_class)
{
    static const int32_t efforts[] = {0, 100, 1000, 3000, 10000};
    struct totals t;
    printf("500 instances, %s\n", turn ? "turning" : "fixed");
    for (size_t i = 0; i < sizeof efforts / sizeof *efforts; i++) {
        run_classes(turn, efforts[i], layout, &t);
        printf(
            "  effort %6d: %lld sheets, bound %lld (+%.2f %%), %d at the bound, mean %.2f ms, worst %.2f\n",
            efforts[i], (long long)t.sheets, (long long)t.bound,
            100.0 * (double)(t.sheets - t.bound) / (double)t.bound, t.at_bound, t.ms / 500, t.worst_ms);
        for (int c = 0; by_class && c < CLASSES; c++)
            printf("    class %d: %lld, bound %lld\n", c + 1, (long long)t.by_class[c],
                   (long long)t.bound_by_class[c]);
    }
}

/* ---- jobs of a shop ---- */

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

static void bench_job(struct sg_layout *layout, const char *what, int n_parts, int quantity, int least_mm,
                      int most_mm, bool turn, int32_t effort)
{
    struct sg_layout_part *parts = calloc((size_t)n_parts, sizeof *parts);
    struct sg_layout_sheet sheet = {2438.4, 1219.2, -1};
    double ms[RUNS];
    if (!parts)
        exit(EXIT_FAILURE);
    state = 424242;
    for (int i = 0; i < n_parts; i++)
        parts[i] =
            (struct sg_layout_part){draw(least_mm, most_mm), draw(least_mm, most_mm),
                                    quantity > 1 ? draw(quantity / 2, quantity + quantity / 2) : 1, turn};
    struct sg_layout_input input = {.parts = parts,
                                    .n_parts = n_parts,
                                    .sheets = &sheet,
                                    .n_sheets = 1,
                                    .gap = 6.35,
                                    .margin = 6.35,
                                    .effort = effort};
    for (int i = 0; i < RUNS; i++) {
        double start = now_ms();
        if (!sg_layout_make(&input, layout))
            exit(EXIT_FAILURE);
        ms[i] = now_ms() - start;
    }
    qsort(ms, RUNS, sizeof *ms, compare);
    printf("%-44s %-7s effort %5d: %lld sheets, bound %lld, %.2f ms (slowest %.2f), %lld k looks\n", what,
           turn ? "turning" : "fixed", effort, (long long)layout->sheets, (long long)layout->lower_bound,
           ms[RUNS / 2], ms[RUNS - 1], (long long)layout->looks / 1000);
    free(parts);
}

int main(int argc, char **argv)
{
    struct sg_layout layout = {0};
    setvbuf(stdout, NULL, _IOLBF, 0); /* it takes a while */
    bool by_class = argc > 1 && strcmp(argv[1], "--classes") == 0;
    for (int turn = 1; turn >= 0; turn--) {
        bench_job(&layout, "100 parts, one of each, 50-800 mm", 100, 1, 50, 800, turn, 0);
        bench_job(&layout, "100 parts, about 10 of each, 50-800 mm", 100, 10, 50, 800, turn, 0);
        bench_job(&layout, "40,000 pieces of 30 parts, 50-600 mm", 30, 1333, 50, 600, turn, 0);
        bench_job(&layout, "40,000 pieces of 30 parts, 10-60 mm", 30, 1333, 10, 60, turn, 0);
        bench_job(&layout, "2,000 parts, about 20 of each, 50-600 mm", 2000, 20, 50, 600, turn, 0);
        bench_job(&layout, "the same with a search", 2000, 20, 50, 600, turn, 1000);
    }
    for (int turn = 1; turn >= 0; turn--)
        bench_classes(&layout, turn, by_class);
    sg_layout_free(&layout);
    return 0;
}
