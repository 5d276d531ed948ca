/* What must hold of every layout by true shape, over many that are drawn at random. Each is looked over by
 * support/nest_check.c. */
#include "sandglass/nest.h"

#include "support/must.h"
#include "support/nest_check.h"
#include "support/random.h"
#include "support/shapes.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PARTS = 12, SIZES = 3, CLAMPS = 2 };

static struct random r;
static struct sg_nest *memory; /* kept from one to the next */
static struct sg_layout layout, boxes;
static char name[40];

static struct problem {
    struct sg_layout_part parts[PARTS];
    struct sg_layout_sheet sheets[SIZES];
    struct sg_layout_clamp clamps[CLAMPS];
    struct sg_outline outlines[PARTS];
    const struct sg_outline *known[PARTS];
    struct sg_nest_input input;
} p;

static void drop(void)
{
    for (int i = 0; i < PARTS; i++)
        sg_outline_free(&p.outlines[i]);
}

/* Sides are whole units, as the box layout's checker wants them; what is left of the drawing is not. */
static double whole(double mm)
{
    return (double)(int64_t)(mm * 40000 + 0.5) / 40000;
}

static void draw_part(int i, double size, int turn)
{
    struct sg_segment segments[SHAPE_MOST];
    int corners = 3 + (int)random_below(&r, 14);
    struct sg_path path = {segments, shape_any(&r, segments, size, corners)};
    struct sg_outline_how how = {.tolerance = 1e-4};
    struct sg_error error = {.text = ""};
    must(sg_outline_make(&path, &how, &p.outlines[i], &error) == SG_OK, "%s", error.text);
    const double *box = p.outlines[i].box;
    p.known[i] = random_below(&r, 8) ? &p.outlines[i] : NULL;
    p.parts[i] =
        (struct sg_layout_part){whole(box[2] - box[0]), whole(box[3] - box[1]), (int64_t)random_below(&r, 40),
                                turn == 2 ? random_below(&r, 2) : turn == 1};
}

static void draw(int turn)
{
    drop();
    p.input = (struct sg_nest_input){.boxes = {.parts = p.parts,
                                               .sheets = p.sheets,
                                               .n_sheets = 1,
                                               .clamps = p.clamps,
                                               .gap = random_below(&r, 4) ? 0.25 * random_below(&r, 40) : 0,
                                               .margin = 0.5 * random_below(&r, 20)},
                                     .outlines = p.known};
    p.input.boxes.n_parts = 1 + (int32_t)random_below(&r, 6);
    double size = 60 + random_below(&r, 200);
    for (int i = 0; i < p.input.boxes.n_parts; i++)
        draw_part(i, size * (i % 3 == 2 ? 0.4 : 1), turn);
    p.sheets[0] = (struct sg_layout_sheet){400 + random_below(&r, 600), 300 + random_below(&r, 400), -1};
}

/* Several sizes, few of them, clamps, and an effort. */
static void draw_more(void)
{
    draw(2);
    p.input.effort = random_below(&r, 3) ? 0 : 10;
    p.input.boxes.effort = random_below(&r, 4) ? 0 : 20;
    p.input.boxes.n_clamps = (int32_t)random_below(&r, CLAMPS + 1);
    p.input.boxes.n_sheets = 1 + (int32_t)random_below(&r, SIZES);
    for (int i = 1; i < p.input.boxes.n_sheets; i++)
        p.sheets[i] = (struct sg_layout_sheet){200 + random_below(&r, 900), 200 + random_below(&r, 500), -1};
    for (int i = 0; i < p.input.boxes.n_sheets; i++)
        p.sheets[i].count = (int64_t)random_below(&r, 5) - 1;
    for (int i = 0; i < p.input.boxes.n_clamps; i++)
        p.clamps[i] = (struct sg_layout_clamp){random_below(&r, 500), random_below(&r, 300),
                                               10 + random_below(&r, 60), 10 + random_below(&r, 60)};
}

/* Area of the sheets used: what is to be little. */
static double sheets_area(const struct sg_layout *of)
{
    double area = 0;
    for (int i = 0; i < of->n_used; i++)
        area +=
            p.sheets[of->used[i].size].length * p.sheets[of->used[i].size].width * (double)of->used[i].copies;
    return area;
}

static bool lay_out(void)
{
    struct sg_nest_gain gain;
    must_hold(sg_nest_make(&p.input, &memory, &layout, &gain));
    bool interlocked = gain.interlocked;
    ck_nest(&p.input, &layout, interlocked, name);
    must_hold(sg_layout_make(&p.input.boxes, &boxes));
    must(layout.unplaced <= boxes.unplaced, "%s: %lld left out, %lld of boxes", name,
         (long long)layout.unplaced, (long long)boxes.unplaced);
    must(layout.unplaced < boxes.unplaced || sheets_area(&layout) <= sheets_area(&boxes) * (1 + 1e-5),
         "%s: %g mm2 of sheets, %g of boxes", name, sheets_area(&layout), sheets_area(&boxes));
    must_hold(interlocked ==
              (layout.unplaced < boxes.unplaced || sheets_area(&layout) < sheets_area(&boxes) * (1 - 1e-5)));
    must_hold(interlocked || layout.sheets == boxes.sheets);
    must_hold(gain.sheets_of_boxes == boxes.sheets);
    return interlocked;
}

/* ---- */

START_TEST(every_layout_is_sound_and_no_worse_than_boxes)
{
    int interlocked = 0, used = 0;
    r = (struct random){12345};
    for (unsigned i = 0; i < 300; i++) {
        snprintf(name, sizeof name, "problem %u", i);
        draw((int)random_below(&r, 3));
        interlocked += lay_out();
        used += layout.n_used > 0;
    }
    ck_assert_int_gt(interlocked, 60);
    ck_assert_int_gt(used, 250);
}
END_TEST

START_TEST(with_several_sizes_on_hand_and_clamps_too)
{
    int interlocked = 0, short_of = 0;
    r = (struct random){777};
    for (unsigned i = 0; i < 200; i++) {
        snprintf(name, sizeof name, "problem %u of more", i);
        draw_more();
        interlocked += lay_out();
        short_of += layout.unplaced > 0;
    }
    ck_assert_int_gt(interlocked, 30);
    ck_assert_int_gt(short_of, 10);
}
END_TEST

START_TEST(more_effort_never_takes_more_sheets)
{
    r = (struct random){4242};
    for (unsigned i = 0; i < 25; i++) {
        double before = 0;
        snprintf(name, sizeof name, "problem %u of effort", i);
        draw(2);
        for (int32_t effort = 0; effort <= 40; effort += 20) {
            p.input.effort = effort;
            lay_out();
            must(effort == 0 || sheets_area(&layout) <= before, "%s: more effort, more sheets", name);
            before = sheets_area(&layout);
        }
    }
}
END_TEST

START_TEST(what_was_laid_out_before_changes_nothing)
{
    r = (struct random){99};
    for (unsigned i = 0; i < 20; i++) {
        struct sg_nest *fresh = NULL;
        struct sg_layout other = {0};
        struct sg_nest_gain one, two;
        draw(2);
        must_hold(sg_nest_make(&p.input, &memory, &layout, &one));
        must_hold(sg_nest_make(&p.input, &fresh, &other, &two));
        must_hold(one.interlocked == two.interlocked && layout.sheets == other.sheets &&
                  layout.n_placements == other.n_placements);
        must_hold(layout.looks == other.looks);
        for (int64_t k = 0; k < layout.n_placements; k++) {
            const struct sg_placement *a = &layout.placements[k], *b = &other.placements[k];
            must_hold(a->part == b->part && a->x == b->x && a->y == b->y);
            must_hold(a->turned == b->turned && a->flipped == b->flipped);
        }
        sg_layout_free(&other);
        sg_nest_free(fresh);
    }
}
END_TEST

static void free_all(void)
{
    drop();
    sg_layout_free(&layout);
    sg_layout_free(&boxes);
    sg_nest_free(memory);
    memory = NULL;
}

int main(void)
{
    Suite *suite = suite_create("nest, random");
    TCase *random = tcase_create("random");
    tcase_add_checked_fixture(random, NULL, free_all);
    tcase_add_test(random, every_layout_is_sound_and_no_worse_than_boxes);
    tcase_add_test(random, with_several_sizes_on_hand_and_clamps_too);
    tcase_add_test(random, more_effort_never_takes_more_sheets);
    tcase_add_test(random, what_was_laid_out_before_changes_nothing);
    suite_add_tcase(suite, random);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
