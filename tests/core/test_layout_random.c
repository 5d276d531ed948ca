/* What must hold of every layout, over many that are drawn at random. Each is looked over by
 * support/layout_check.c. */
#include "sandglass/layout.h"

#include "support/layout_check.h"
#include "support/must.h"
#include "support/random.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { PARTS = 60, SIZES = 4, CLAMPS = 3 };

struct problem {
    struct sg_layout_part parts[PARTS];
    struct sg_layout_sheet sheets[SIZES];
    struct sg_layout_clamp clamps[CLAMPS];
    struct sg_layout_input input;
};

static struct random r;
static struct sg_layout layout; /* kept from one to the next */
static char name[40];

static void start(unsigned series)
{
    r = (struct random){series * 2654435761u + 12345};
}

static void number(unsigned i)
{
    snprintf(name, sizeof name, "problem %u", i);
}

static void wire(struct problem *p)
{
    p->input.parts = p->parts;
    p->input.sheets = p->sheets;
    p->input.clamps = p->clamps;
}

/* A length of some unit that shops use. */
static double draw_length(int most_mm)
{
    static const double units[] = {1, 0.001, 25.4 / 64, 0.0254, 3.175};
    double unit = units[random_below(&r, 5)];
    return unit * (1 + random_below(&r, (unsigned)(most_mm / unit)));
}

static void draw_parts(struct problem *p, int most_parts, int most_quantity, int most_mm, int turn)
{
    p->input.n_parts = 1 + (int32_t)random_below(&r, (unsigned)most_parts);
    for (int i = 0; i < p->input.n_parts; i++)
        p->parts[i] = (struct sg_layout_part){draw_length(most_mm), draw_length(most_mm),
                                              random_below(&r, (unsigned)most_quantity + 1),
                                              turn == 2 ? random_below(&r, 2) : turn == 1};
}

/* One size, all parts fit. */
static void draw_plain(struct problem *p, int turn)
{
    *p = (struct problem){.sheets = {{1000, 600 + random_below(&r, 300), -1}}};
    wire(p);
    draw_parts(p, 25, 1 + (int)random_below(&r, 8), 100 + (int)random_below(&r, 400), turn);
    p->input.n_sheets = 1;
}

static void draw_any(struct problem *p)
{
    draw_plain(p, 2);
    p->input.n_sheets = 1 + (int32_t)random_below(&r, SIZES);
    p->input.n_clamps = (int32_t)random_below(&r, CLAMPS + 1);
    p->input.gap = random_below(&r, 3) == 0 ? 0 : draw_length(20);
    p->input.margin = random_below(&r, 3) == 0 ? 0 : draw_length(30);
    p->input.effort = random_below(&r, 4) == 0 ? 30 : 0;
    for (int i = 0; i < p->input.n_sheets; i++)
        p->sheets[i] =
            (struct sg_layout_sheet){draw_length(1500), draw_length(900), (int64_t)random_below(&r, 6) - 1};
    for (int i = 0; i < p->input.n_clamps; i++)
        p->clamps[i] =
            (struct sg_layout_clamp){draw_length(1000), draw_length(500), draw_length(80), draw_length(80)};
}

static void lay_out(const struct problem *p)
{
    must_hold(sg_layout_make(&p->input, &layout));
    ck_layout(&p->input, &layout, name);
}

/* ---- */

START_TEST(every_layout_is_sound)
{
    int placed = 0, short_of = 0, large = 0;
    start(1);
    for (unsigned i = 0; i < 1500; i++) {
        struct problem p;
        number(i);
        draw_any(&p);
        lay_out(&p);
        placed += layout.sheets > 2;
        short_of += layout.unplaced > 0;
        large += layout.too_large >= 0;
    }
    ck_assert_int_gt(placed, 300); /* the draw covers all of it */
    ck_assert_int_gt(short_of, 100);
    ck_assert_int_gt(large, 100);
}
END_TEST

/* ---- turning, effort ---- */

START_TEST(leave_to_turn_never_takes_another_sheet)
{
    int saved = 0;
    start(2);
    for (unsigned i = 0; i < 800; i++) {
        struct problem p;
        number(i);
        draw_plain(&p, 0);
        lay_out(&p);
        int64_t fixed = layout.sheets, bound = layout.lower_bound;
        for (int k = 0; k < p.input.n_parts; k++)
            p.parts[k].turn = true;
        lay_out(&p);
        must(layout.sheets <= fixed, "%s: %lld sheets turning, %lld fixed", name, (long long)layout.sheets,
             (long long)fixed);
        must_hold(layout.lower_bound <= fixed);
        must_hold(bound <= fixed);
        saved += layout.sheets < fixed;
    }
    ck_assert_int_gt(saved, 20);
}
END_TEST

START_TEST(more_effort_never_takes_another_sheet)
{
    int saved = 0;
    start(3);
    for (unsigned i = 0; i < 120; i++) {
        struct problem p;
        int64_t before = INT64_MAX, first = 0;
        number(i);
        draw_plain(&p, 2);
        for (int32_t effort = 0; effort <= 256; effort = effort ? 4 * effort : 4) {
            p.input.effort = effort;
            lay_out(&p);
            must(layout.sheets <= before, "%s: %lld sheets with effort %d, %lld with less", name,
                 (long long)layout.sheets, effort, (long long)before);
            first = effort == 0 ? layout.sheets : first;
            before = layout.sheets;
        }
        saved += before < first;
    }
    ck_assert_int_gt(saved, 0);
}
END_TEST

/* ---- gap, margin ---- */

static void ck_more_room_wanted(struct problem *p, double *what, double step)
{
    int64_t bound = 0, sheets = 0;
    for (int k = 0; k < 6; k++, *what += step) {
        lay_out(p);
        if (layout.too_large >= 0)
            return;
        must(layout.lower_bound >= bound, "%s: bound %lld, %lld with less gap or margin", name,
             (long long)layout.lower_bound, (long long)bound);
        must(layout.sheets >= sheets - 1, "%s: %lld sheets, %lld with less gap or margin", name,
             (long long)layout.sheets, (long long)sheets);
        bound = layout.lower_bound;
        sheets = layout.sheets;
    }
}

START_TEST(more_gap_or_margin_never_lowers_the_bound)
{
    start(4);
    for (unsigned i = 0; i < 250; i++) {
        struct problem p;
        number(i);
        draw_plain(&p, 2);
        double gap = p.input.gap;
        ck_more_room_wanted(&p, &p.input.gap, draw_length(15));
        p.input.gap = gap;
        ck_more_room_wanted(&p, &p.input.margin, draw_length(25));
    }
}
END_TEST

/* ---- the bound against sheets cut up without waste ---- */

struct cut {
    double length, width;
};

/* Cut a sheet into n rectangles, edge to edge. */
static int cut_up(struct cut *pieces, double length, double width, int n)
{
    int count = 1;
    pieces[0] = (struct cut){length, width};
    for (int tries = 0; count < n && tries < 4 * n; tries++) {
        struct cut *piece = &pieces[random_below(&r, (unsigned)count)];
        double *side = random_below(&r, 2) ? &piece->length : &piece->width;
        double part = floor(*side * (0.2 + 0.6 * random_unit(&r)));
        if (part < 1 || *side - part < 1)
            continue;
        struct cut rest = *piece;
        *(side == &piece->length ? &rest.length : &rest.width) = *side - part;
        *side = part;
        pieces[count++] = rest;
    }
    return count;
}

START_TEST(the_bound_is_not_above_what_is_known_to_do)
{
    int tight = 0;
    start(5);
    for (unsigned i = 0; i < 600; i++) {
        struct problem p = {.sheets = {{1000, 500 + random_below(&r, 500), -1}}};
        int known = 1 + (int)random_below(&r, 6);
        bool turn = random_below(&r, 2), gaps = random_below(&r, 2);
        number(i);
        wire(&p);
        p.input.n_sheets = 1;
        for (int s = 0; s < known; s++) {
            struct cut pieces[PARTS];
            int n = cut_up(pieces, p.sheets[0].length, p.sheets[0].width, 1 + (int)random_below(&r, 9));
            for (int k = 0; k < n; k++) {
                bool turned = turn && random_below(&r, 2);
                if (gaps && random_below(&r, 5) == 0)
                    continue; /* a piece left out only makes room */
                p.parts[p.input.n_parts++] =
                    (struct sg_layout_part){turned ? pieces[k].width : pieces[k].length,
                                            turned ? pieces[k].length : pieces[k].width, 1, turn};
            }
        }
        lay_out(&p);
        must(layout.lower_bound <= known, "%s: bound %lld, %d sheets do", name, (long long)layout.lower_bound,
             known);
        must_hold(layout.sheets <= 2 * known);
        tight += layout.lower_bound == known;
        must_hold(gaps || layout.lower_bound == known);
    }
    ck_assert_int_gt(tight, 350);
}
END_TEST

/* ---- the drop against all rectangles ---- */

static bool is_free(const struct problem *p, const struct sg_layout_used *used, double x0, double y0,
                    double x1, double y1)
{
    double gap = p->input.gap - 1e-7;
    for (int64_t i = 0; i < used->n_pieces; i++) {
        const struct sg_placement *at = &layout.placements[used->first + i];
        const struct sg_layout_part *part = &p->parts[at->part];
        double length = at->turned ? part->width : part->length;
        double width = at->turned ? part->length : part->width;
        if (x0 < at->x + length + gap && at->x < x1 + gap && y0 < at->y + width + gap && at->y < y1 + gap)
            return false;
    }
    return true;
}

/* The largest area by trying every pair of edges. */
static double largest_free(const struct problem *p, const struct sg_layout_used *used)
{
    double starts[2][PARTS + 1], ends[2][PARTS + 1], largest = 0, gap = p->input.gap, m = p->input.margin;
    int n = 1;
    starts[0][0] = starts[1][0] = m;
    ends[0][0] = p->sheets[0].length - m;
    ends[1][0] = p->sheets[0].width - m;
    for (int64_t i = 0; i < used->n_pieces; i++, n++) {
        const struct sg_placement *at = &layout.placements[used->first + i];
        const struct sg_layout_part *part = &p->parts[at->part];
        starts[0][n] = at->x + (at->turned ? part->width : part->length) + gap;
        starts[1][n] = at->y + (at->turned ? part->length : part->width) + gap;
        ends[0][n] = at->x - gap;
        ends[1][n] = at->y - gap;
    }
    for (int a = 0; a < n; a++)
        for (int b = 0; b < n; b++)
            for (int c = 0; c < n && ends[0][b] > starts[0][a]; c++)
                for (int d = 0; d < n; d++) {
                    double width = ends[1][d] - starts[1][c];
                    double area = (ends[0][b] - starts[0][a]) * width;
                    if (width > 0 && area > largest &&
                        is_free(p, used, starts[0][a], starts[1][c], ends[0][b], ends[1][d]))
                        largest = area;
                }
    return largest;
}

START_TEST(the_drop_is_the_largest_rectangle_left_over)
{
    int looked = 0;
    start(6);
    for (unsigned i = 0; i < 300; i++) {
        struct problem p;
        number(i);
        draw_plain(&p, 2);
        p.input.gap = draw_length(9);
        p.input.margin = draw_length(9);
        lay_out(&p);
        for (int k = 0; k < layout.n_used; k++) {
            const struct sg_layout_used *used = &layout.used[k];
            if (used->n_pieces > 14)
                continue;
            double area = largest_free(&p, used);
            must(fabs(area - used->drop_length * used->drop_width) <= 1e-3, "%s: drop %g, largest is %g",
                 name, used->drop_length * used->drop_width, area);
            looked++;
        }
    }
    ck_assert_int_gt(looked, 200);
}
END_TEST

static void free_layout(void)
{
    sg_layout_free(&layout);
}

int main(void)
{
    Suite *suite = suite_create("layout, random");
    TCase *random = tcase_create("random");
    tcase_add_checked_fixture(random, NULL, free_layout);
    tcase_add_test(random, every_layout_is_sound);
    tcase_add_test(random, leave_to_turn_never_takes_another_sheet);
    tcase_add_test(random, more_effort_never_takes_another_sheet);
    tcase_add_test(random, more_gap_or_margin_never_lowers_the_bound);
    tcase_add_test(random, the_bound_is_not_above_what_is_known_to_do);
    tcase_add_test(random, the_drop_is_the_largest_rectangle_left_over);
    suite_add_tcase(suite, random);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
