/* How long motion, rapid order and outlines take: medians of some runs, in processor time, for the machine
 * may have other work. For information; nothing here fails. */
#include "sandglass/motion.h"
#include "sandglass/outline.h"
#include "sandglass/tour.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { MILLION = 1000000, RUNS = 9 };

static double sink; /* so that nothing is left out as unused */
static uint64_t random_state = 88172645463325252u;

static double unit(void)
{
    random_state ^= random_state << 13;
    random_state ^= random_state >> 7;
    random_state ^= random_state << 17;
    return (double)(random_state >> 11) * 0x1p-53;
}

static void *room_for(size_t n, size_t size)
{
    void *room = calloc(n, size);
    if (!room) {
        perror("bench_motion");
        exit(EXIT_FAILURE);
    }
    return room;
}

static double now_ms(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec * 1e-6;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void show(const char *what, void (*run)(const void *), const void *with, const char *budget)
{
    double took[RUNS];
    int runs = 0;
    for (double all = 0; runs < RUNS && (runs < 3 || all < 3000); runs++) {
        double start = now_ms();
        run(with);
        took[runs] = now_ms() - start;
        all += took[runs];
    }
    qsort(took, (size_t)runs, sizeof *took, by_size);
    printf("%-58s %9.2f ms  %s\n", what, took[runs / 2], budget);
    fflush(stdout);
}

/* ---- motion ---- */

struct ride {
    struct sg_segment *segments;
    struct sg_motion_limits limits;
    struct sg_motion_memory *memory;
};

static void ride(const void *with)
{
    const struct ride *r = with;
    struct sg_motion motion;
    if (sg_motion_time(r->segments, MILLION, &r->limits, r->memory, &motion))
        sink += motion.total;
}

/* A smooth path with a sharp corner every fifty segments. */
static void wander(struct sg_segment *segments, double mean)
{
    double x = 0, y = 0, angle = 0;
    for (int i = 0; i < MILLION; i++) {
        double length = mean * (0.5 + unit());
        angle += 0.2 * (unit() - 0.5) + (i % 50 == 0 ? 1.5 : 0);
        segments[i] =
            (struct sg_segment){x, y, x + length * cos(angle), y + length * sin(angle), 0, 0, 0, false};
        x = segments[i].x1;
        y = segments[i].y1;
    }
}

static void bench_motion(struct sg_segment *segments)
{
    static const double means[] = {0.05, 0.5, 5};
    struct ride r = {segments, {50, 200, 500, SG_DEVIATION, 0, 0.1}, sg_motion_memory_new()};
    char what[100];
    for (int i = 0; i < 3; i++) {
        wander(segments, means[i]);
        r.limits.lag = 0;
        snprintf(what, sizeof what, "1,000,000 segments of %g mm, no lag", means[i]);
        show(what, ride, &r, "at most 40, aim 20");
        r.limits.lag = 1.5;
        snprintf(what, sizeof what, "1,000,000 segments of %g mm, lag 1.5 mm", means[i]);
        show(what, ride, &r, "at most 40, aim 20");
    }
    sg_motion_memory_free(r.memory);
}

/* ---- rapid order ---- */

struct trip {
    struct sg_tour_input in;
    int32_t *order;
};

static void travel(const void *with)
{
    const struct trip *trip = with;
    double length;
    if (sg_tour(&trip->in, trip->order, &length))
        sink += length;
}

static void bench_tour(int32_t n, int32_t kicks, const char *budget)
{
    double *x = room_for((size_t)n, sizeof *x), *y = room_for((size_t)n, sizeof *y);
    int32_t *order = room_for((size_t)n, sizeof *order), *after = room_for((size_t)n, sizeof *after);
    char what[100];
    for (int32_t i = 0; i < n; i++) {
        x[i] = 1000 * unit();
        y[i] = 1000 * unit();
        after[i] = i % 4 < 3 && i + 4 - i % 4 <= n ? i + 3 - i % 4 : -1; /* three holes in each part */
    }
    struct trip trip = {{.x = x, .y = y, .n = n, .kicks = kicks}, order};
    snprintf(what, sizeof what, "order of %d pierces, %d kicks", n, kicks);
    show(what, travel, &trip, budget);
    trip.in.after = after;
    snprintf(what, sizeof what, "the same, three holes before each outer contour");
    show(what, travel, &trip, "");
    free(x);
    free(y);
    free(order);
    free(after);
}

/* ---- outlines ---- */

struct drawing {
    struct sg_path path;
    struct sg_outline_how how;
};

static void outline(const void *with)
{
    const struct drawing *d = with;
    struct sg_outline made = {0};
    if (sg_outline_make(&d->path, &d->how, &made, NULL) == SG_OK)
        sink += made.cut_length;
    sg_outline_free(&made);
}

static void boxes(struct sg_segment *segments, int n)
{
    static const double corners[5][2] = {{0, 0}, {8, 0}, {8, 8}, {0, 8}, {0, 0}};
    for (int i = 0; i < n; i++) {
        double x = i / 4 % 500 * 10, y = i / 4 / 500 * 10;
        const double *a = corners[i % 4], *b = corners[i % 4 + 1];
        segments[i] = (struct sg_segment){x + a[0], y + a[1], x + b[0], y + b[1], 0, 0, 0, false};
    }
}

static void mix(struct sg_segment *segments, int n)
{
    for (int i = n - 1; i > 0; i--) {
        int k = (int)(unit() * (i + 1));
        struct sg_segment s = segments[i];
        segments[i] = segments[k];
        segments[k] = s;
    }
}

static void wave(struct sg_segment *segments, int n)
{
    double pi = acos(-1.0);
    for (int i = 0; i < n; i++) {
        double a = 2 * pi * i / n, b = 2 * pi * ((i + 1) % n) / n;
        double ra = 1000 + 20 * sin(3000 * a), rb = 1000 + 20 * sin(3000 * b);
        segments[i] = (struct sg_segment){ra * cos(a), ra * sin(a), rb * cos(b), rb * sin(b), 0, 0, 0, false};
    }
}

static void bench_outline(struct sg_segment *segments)
{
    struct drawing d = {{segments, MILLION}, {.tolerance = 1e-4}};
    boxes(segments, MILLION);
    show("outline of 250,000 boxes", outline, &d, "");
    mix(segments, MILLION);
    show("the same, its 1,000,000 lines in any order", outline, &d, "");
    wave(segments, MILLION);
    show("outline of one contour of 1,000,000 chords", outline, &d, "");
    d.how.fit_arcs = true;
    show("the same, chords made into arcs", outline, &d, "");
}

int main(void)
{
    struct sg_segment *segments = room_for(MILLION, sizeof *segments);
    bench_motion(segments);
    bench_tour(150, 0, "at most 0.5");
    bench_tour(150, 500, "at most 5");
    bench_tour(1000, 500, "");
    bench_tour(10000, 500, "");
    bench_outline(segments);
    free(segments);
    return sink > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
