/* How many sheets a layout by true shape takes beside that of boxes, and how long it takes to make. Outlines
 * are drawn at random: triangles, trapezoids, Ls, Cs, rings, discs, plates with a hole, stars. For
 * information; nothing here fails. */
#include "sandglass/nest.h"

#include "../support/shapes.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { MOST = 120, RUNS = 5, JOBS = 20 };

struct job {
    struct sg_layout_part parts[MOST];
    struct sg_outline outlines[MOST];
    const struct sg_outline *known[MOST];
    struct sg_layout_sheet sheet;
    struct sg_nest_input input;
    int64_t segments;
};

static double now_ms(void) /* of the processor, so that others on it do not count */
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec * 1e3 + (double)now.tv_nsec * 1e-6;
}

/* Any shapes, or stars whose corners are at least so much of their size off the middle. */
static void draw(struct job *job, struct random *r, int parts, int quantity, double size, int corners,
                 double least)
{
    job->segments = 0;
    for (int i = 0; i < parts; i++) {
        struct sg_segment segments[SHAPE_MOST];
        double s = size * (0.3 + 0.7 * random_unit(r));
        struct sg_path path = {segments, least > 0
                                             ? shape_star(r, segments, 0, 0, s * least, s * 0.5, corners, 2)
                                             : shape_any(r, segments, s, corners)};
        struct sg_outline_how how = {.tolerance = 1e-4};
        struct sg_error error;
        sg_outline_free(&job->outlines[i]);
        if (sg_outline_make(&path, &how, &job->outlines[i], &error) != SG_OK)
            exit(EXIT_FAILURE);
        const double *box = job->outlines[i].box;
        job->segments += job->outlines[i].n_segments;
        job->known[i] = &job->outlines[i];
        job->parts[i] =
            (struct sg_layout_part){box[2] - box[0], box[3] - box[1],
                                    quantity / 2 + (int64_t)random_below(r, (unsigned)quantity + 1), true};
    }
    job->sheet = (struct sg_layout_sheet){2438.4, 1219.2, -1};
    job->input = (struct sg_nest_input){.boxes = {.parts = job->parts,
                                                  .n_parts = parts,
                                                  .sheets = &job->sheet,
                                                  .n_sheets = 1,
                                                  .gap = 6.35,
                                                  .margin = 6.35},
                                        .outlines = job->known};
}

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median_ms(const struct job *job, struct sg_nest **memory, struct sg_layout *layout,
                        struct sg_nest_gain *gain)
{
    double ms[RUNS];
    for (int i = 0; i < RUNS; i++) {
        double start = now_ms();
        if (!sg_nest_make(&job->input, memory, layout, gain))
            exit(EXIT_FAILURE);
        ms[i] = now_ms() - start;
    }
    qsort(ms, RUNS, sizeof *ms, compare);
    return ms[RUNS / 2];
}

static void bench(const char *what, int parts, int quantity, double size, int corners, double least,
                  int32_t effort)
{
    static struct job job;
    struct random r = {20240229};
    struct sg_nest *memory = NULL;
    struct sg_layout layout = {0};
    int64_t boxes = 0, shapes = 0, bound = 0, segments = 0, used = 0;
    double ms = 0, worst = 0, box_ms = 0;
    for (int i = 0; i < JOBS; i++) {
        struct sg_nest_gain gain;
        draw(&job, &r, parts, quantity, size, corners, least);
        job.input.effort = effort;
        job.input.outlines = NULL;
        box_ms += median_ms(&job, &memory, &layout, &gain) / JOBS;
        boxes += layout.sheets;
        job.input.outlines = job.known;
        double took = median_ms(&job, &memory, &layout, &gain);
        ms += took / JOBS;
        worst = took > worst ? took : worst;
        shapes += layout.sheets;
        bound += gain.interlocked ? layout.lower_bound : layout.sheets;
        segments += job.segments;
        used += gain.interlocked;
    }
    printf(
        "%-44s effort %3d: boxes %4lld sheets, %5.2f ms; shapes %4lld (bound %4lld), %2lld of %d interlock, "
        "%.0f segments a part, mean %6.2f ms, worst %6.2f\n",
        what, effort, (long long)boxes, box_ms, (long long)shapes, (long long)bound, (long long)used, JOBS,
        (double)segments / JOBS / parts, ms, worst);
    for (int i = 0; i < MOST; i++)
        sg_outline_free(&job.outlines[i]);
    job = (struct job){.segments = 0};
    sg_layout_free(&layout);
    sg_nest_free(memory);
}

int main(void)
{
    setvbuf(stdout, NULL, _IOLBF, 0);
    bench("30 parts, 300 pieces, up to 500 mm", 30, 10, 500, 50, 0, 0);
    bench("the same, all of 50 segments", 30, 10, 500, 50, 0.25, 0);
    bench("the same with more mixes", 30, 10, 500, 50, 0.25, 50);
    bench("10 parts, 200 pieces, up to 500 mm", 10, 20, 500, 20, 0, 0);
    bench("the same with more mixes", 10, 20, 500, 20, 0, 50);
    bench("5 parts, 500 pieces, up to 300 mm", 5, 100, 300, 20, 0, 0);
    bench("100 parts, 100 pieces, up to 600 mm", 100, 1, 600, 20, 0, 0);
    bench("10 parts of 300 segments, 200 pieces", 10, 20, 500, 300, 0.49, 0);
    return 0;
}
