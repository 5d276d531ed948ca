/* The time of a part along its outline, through the whole planner. */
#include "sandglass/plan.h"
#include "support/must.h"
#include "support/random_outline.h"
#include "support/shop.h"

#include "sandglass/motion.h"
#include "sandglass/rules.h"

#include <stdlib.h>
#include <string.h>

static struct test_shop test;
static struct sg_shop *shop;
static struct sg_planner *planner;
static struct random r;

/* One stock of mild steel, 10 mm, and one part of it: the plate with a hole (support/shop.h). */
static void set_up(void)
{
    test_shop_make(&test);
    shop = &test.shop;
    planner = sg_planner_new();
    r = (struct random){20261206};
    test_shop_job(&test, 0);
    test_shop_stock(&test, 0, 10);
    struct sg_part *part = test_shop_part(&test, 6, 1, 1, 1);
    part->outline = 0;
    sg_part_measure(part, shop);
}

static void tear_down(void)
{
    sg_planner_free(planner);
    test_shop_free(&test);
}

static const struct sg_plan *plan_of(struct sg_planner *by)
{
    const struct sg_plan *plan = NULL;
    struct sg_error error = {.text = ""};
    ck_assert_msg(sg_plan_shift(by, shop, 0, &plan, &error) == SG_OK, "%s", error.text);
    return plan;
}

static const struct sg_plan_part *planned(void)
{
    return &plan_of(planner)->parts[0];
}

/* ---- by hand ---- */

/* From rest to rest, in closed form. */
static double move(double length, double speed, double acceleration)
{
    return length >= speed * speed / acceleration ? length / speed + speed / acceleration
                                                  : 2 * sqrt(length / acceleration);
}

static struct sg_motion motion_by_hand(const struct sg_outline *outline, double traverse, double separation,
                                       double height, double permitted)
{
    struct sg_motion_memory *memory = sg_motion_memory_new();
    struct sg_motion motion;
    const struct sg_machine *m = &shop->machine;
    const struct sg_motion_limits limits = {
        .feed = traverse / 60,
        .top = m->top_feed / 60,
        .acceleration = m->acceleration,
        .deviation = 0.02,
        .lag = separation > 0 ? 0.231 * height * pow(traverse / separation, 1 / 1.15) : 0,
        .error = permitted};
    ck_assert(sg_motion_outline(outline, &limits, memory, &motion));
    sg_motion_memory_free(memory);
    return motion;
}

/* From the hole's pierce to the plate's, and on to the hole of the next piece. */
static double rapid_by_hand(double lead, double step, double *length)
{
    const struct sg_machine *m = &shop->machine;
    double hole = 60 - fmin(lead, 10), corner = -lead / sqrt(2);
    double there = hypot(hole - corner, 30 - corner), on = hypot(hole - corner, 30 + step - corner);
    *length = there + on;
    return move(there, m->rapid / 60, m->acceleration) + move(on, m->rapid / 60, m->acceleration);
}

static void ck_near(double found, double expected)
{
    ck_assert_msg(fabs(found - expected) <= 1e-12 * fabs(expected), "%.17g, expected %.17g", found, expected);
}

START_TEST(a_part_takes_its_outline_leads_rapids_and_pierces)
{
    static const struct {
        int32_t stack, heads;
        double edge, permitted; /* mm: those of a fresh machine are 0.5 0.25 0.15 0.1 0.05 */
    } cases[] = {{1, 1, 3, 0.15},  {1, 1, 1, 0.5},  {1, 1, 5, 0.05},
                 {1, 1, 2.5, 0.2}, {3, 1, 3, 0.15}, {2, 2, 4, 0.1}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct sg_stock *stock = &shop->stocks[0];
        stock->stack = cases[i].stack;
        stock->edge = cases[i].edge;
        test.heads[0].heads = cases[i].heads;
        const struct sg_plan *plan = plan_of(planner);
        const struct sg_plan_part *p = &plan->parts[0];
        const struct sg_setup *setup = &plan->stocks[0].setup;
        double height = 10 * cases[i].stack, lead = 0.5 * height, length;
        double leads = 2 * lead + 2 * fmin(lead, 10);
        double gap = stock->gap > setup->kerf ? stock->gap : setup->kerf;
        struct sg_motion motion =
            motion_by_hand(&test_plate, setup->traverse, setup->separation, height, cases[i].permitted);
        double cut = (motion.total + leads / setup->traverse * 60) / cases[i].heads;
        double rapid = rapid_by_hand(lead, 60 + gap, &length) + 2 * shop->machine.z_lift;
        double pierce = 2 * setup->pierce / cases[i].heads;
        int64_t cuts = (6 + cases[i].stack - 1) / cases[i].stack;
        ck_near(p->each, (cut + rapid + pierce) / cases[i].stack);
        ck_near(p->cut, (double)cuts * cut);
        ck_near(p->rapid, (double)cuts * rapid);
        ck_near(p->pierce, (double)cuts * pierce);
        ck_near(p->split.straight, (320 + 20 * pi) / setup->traverse * 60);
        ck_near(p->split.corner, motion.corner);
        ck_near(p->split.acceleration, motion.acceleration);
        ck_near(p->split.lead_length, leads);
        ck_near(p->split.rapid_length, length);
        ck_near(p->split.error, cases[i].permitted);
        ck_assert(p->split.corner > 0 && p->split.acceleration > 0);
        ck_assert_int_eq((int)p->basis, SG_BASIS_ESTIMATE);
        ck_near(p->garnet, setup->garnet * cases[i].heads / 1000 * ((double)cuts * (cut + pierce) / 60));
        ck_near(p->mass, 6 * (6000 - 100 * pi) / 1e6 * 0.01 * 7850);
    }
}
END_TEST

START_TEST(an_edge_or_feed_of_the_part_is_the_one_that_counts)
{
    struct sg_part *part = &shop->parts[0];
    part->edge = 5;
    ck_near(planned()->split.error, 0.05);
    double slow = planned()->split.corner;
    part->edge = 1;
    ck_near(planned()->split.error, 0.5);
    ck_assert(planned()->split.corner < slow);
    part->feed = 60;
    const struct sg_plan *plan = plan_of(planner);
    const struct sg_plan_split *split = &plan->parts[0].split;
    ck_near(split->straight, 320 + 20 * pi);
    ck_near(split->lead, 20);
    ck_near(split->lag, 0.231 * 10 * pow(60 / plan->stocks[0].setup.separation, 1 / 1.15));
}
END_TEST

START_TEST(a_part_program_has_its_leads_and_a_drawing_those_of_the_machine)
{
    int32_t program = test_shop_drawn(&test, "plate.nc", &test_plate, true);
    double length, step = 60 + shop->stocks[0].gap;
    ck_assert(planned()->split.lead > 0);
    shop->parts[0].outline = program;
    ck_assert_double_eq(planned()->split.lead, 0);
    ck_assert_double_eq(planned()->split.lead_length, 0);
    double rapid = rapid_by_hand(0, step, &length);
    ck_near(planned()->split.rapid_length, length);
    ck_near(planned()->split.rapid, rapid);
    shop->parts[0].outline = 0;
    shop->machine.lead = 0;
    ck_assert_double_eq(planned()->split.lead, 0);
    shop->machine.lead = 0.01; /* of 10 mm is less than the least lead */
    ck_near(planned()->split.lead_length, 4 * SG_LEAD_LEAST);
}
END_TEST

START_TEST(a_typed_rapid_length_is_taken_at_the_rapid_speed)
{
    shop->parts[0].rapid_length = 500;
    const struct sg_plan_part *p = planned();
    ck_near(p->split.rapid, 500 / shop->machine.rapid * 60);
    ck_near(p->split.rapid_length, 500);
    ck_near(p->rapid, 6 * (500 / shop->machine.rapid * 60 + 2 * shop->machine.z_lift));
}
END_TEST

/* The formula of the lag is that of a jet with garnet. */
START_TEST(water_alone_does_not_lag)
{
    shop->stocks[0].material = 3; /* foam */
    const struct sg_plan *plan = plan_of(planner);
    ck_assert(!plan->stocks[0].setup.abrasive);
    ck_assert_double_eq(plan->parts[0].split.lag, 0);
    struct sg_motion motion = motion_by_hand(&test_plate, plan->stocks[0].setup.traverse, 0, 10, 0.15);
    ck_near(plan->parts[0].split.corner, motion.corner);
    ck_near(plan->parts[0].split.acceleration, motion.acceleration);
}
END_TEST

START_TEST(without_a_traverse_the_cut_is_not_known_and_the_way_is)
{
    shop->stocks[0].material = SG_UNKNOWN;
    const struct sg_plan *plan = plan_of(planner);
    const struct sg_plan_part *p = &plan->parts[0];
    ck_assert(!sg_known(p->each) && !sg_known(p->cut) && !sg_known(p->split.straight));
    ck_assert(p->split.rapid > 0 && p->split.lead_length > 0);
    ck_assert(plan->unknown && !sg_known(plan->ends));
}
END_TEST

/* ---- at random ---- */

static struct sg_outline outlines[4];

/* Four outlines at random, kept as the shop's second to fifth. */
static void draw_outlines(void)
{
    static const char *const names[] = {"1.dxf", "2.nc", "3.dxf", "4.nc"};
    for (int i = 0; i < 4; i++) {
        random_outline(&r, &outlines[i]);
        ck_assert(sg_outline_arrange(&outlines[i], 10));
        if (shop->n_drawn < 5)
            test_shop_drawn(&test, names[i], &outlines[i], i % 2);
    }
}

static void drop_outlines(void)
{
    for (int i = 0; i < 4; i++)
        sg_outline_free(&outlines[i]);
    shop->n_drawn = 1;
}

static void roll_case(void)
{
    struct sg_stock *stock = &shop->stocks[0];
    struct sg_part *part = &shop->parts[0];
    struct sg_machine *m = &shop->machine;
    stock->material = (int32_t)random_below(&r, 4);
    stock->thickness = within(&r, 0.5, 60);
    stock->edge = within(&r, 1, 5);
    stock->stack = 1 + (int32_t)random_below(&r, 2);
    stock->gap = within(&r, 0, 20);
    m->acceleration = within(&r, 50, 5000);
    m->rapid = within(&r, 500, 20000);
    m->top_feed = within(&r, 500, 20000);
    m->lead = random_below(&r, 3) ? within(&r, 0, 1) : 0;
    test.heads[0].heads = 1 + (int32_t)random_below(&r, 2);
    part->quantity = 1 + (int32_t)random_below(&r, 50);
    part->outline = 1 + (int32_t)random_below(&r, 4);
    part->edge = random_below(&r, 4) ? (double)NAN : within(&r, 1, 5);
    sg_part_measure(part, shop);
}

START_TEST(the_split_adds_up_to_the_cut_and_nothing_is_less_than_nothing)
{
    for (int i = 0; i < 500; i++) {
        if (i % 20 == 0) {
            drop_outlines();
            draw_outlines();
        }
        roll_case();
        const struct sg_plan_part *p = planned();
        const struct sg_plan_split *s = &p->split;
        const double parts[] = {s->straight, s->corner, s->acceleration, s->lead, s->rapid, s->lead_length};
        for (size_t k = 0; k < sizeof parts / sizeof *parts; k++)
            ck_assert_msg(parts[k] >= 0, "case %d: part %zu of the split is %g", i, k, parts[k]);
        double cut = s->straight + s->corner + s->acceleration + s->lead;
        int32_t heads = shop->heads[plan_of(planner)->stocks[0].head].heads;
        ck_near(p->cut, (double)p->cuts * cut / heads);
        ck_near(s->straight, shop->parts[0].cut_length / p->traverse * 60);
        ck_near(p->each * shop->stocks[0].stack,
                cut / heads + s->rapid +
                    shop->parts[0].pierces * (shop->machine.z_lift + p->pierce_each / heads));
    }
    drop_outlines();
}
END_TEST

/* Thicker, or a finer edge, by a little or by much: one cut takes no less time. */
START_TEST(no_cut_is_faster_in_thicker_stock_or_with_a_finer_edge)
{
    for (int i = 0; i < 500; i++) {
        if (i % 20 == 0) {
            drop_outlines();
            draw_outlines();
        }
        roll_case();
        struct sg_stock *stock = &shop->stocks[0];
        shop->parts[0].edge = (double)NAN;
        double before = planned()->each, thickness = stock->thickness, edge = stock->edge;
        double more = random_below(&r, 2) ? within(&r, 1, 1.02) : within(&r, 1, 2);
        stock->thickness = thickness * more;
        double thicker = planned()->each;
        stock->thickness = thickness;
        stock->edge = fmin(5, edge + (random_below(&r, 2) ? 0.01 : within(&r, 0, 4)));
        double finer = planned()->each;
        ck_assert_msg(thicker >= before * (1 - 1e-12), "case %d: %.17g s in %g mm, %.17g s in %g mm", i,
                      before, thickness, thicker, thickness * more);
        ck_assert_msg(finer >= before * (1 - 1e-12), "case %d: %.17g s at edge %g, %.17g s at edge %g", i,
                      before, edge, finer, stock->edge);
    }
    drop_outlines();
}
END_TEST

/* ---- what is remembered ---- */

static void ck_as_new(const char *after)
{
    struct sg_planner *other = sg_planner_new();
    const struct sg_plan *fresh = plan_of(other), *plan = plan_of(planner);
    must(memcmp(&plan->parts[0].split, &fresh->parts[0].split, sizeof fresh->parts[0].split) == 0,
         "after %s the split is not a new planner's", after);
    must(memcmp(&plan->parts[0].each, &fresh->parts[0].each, sizeof(double)) == 0 &&
             memcmp(&plan->ends, &fresh->ends, sizeof(double)) == 0, /* which may be not known */
         "after %s the plan is not a new planner's", after);
    sg_planner_free(other);
}

/* The outline is changed behind the planner's back, its print is not: what is walked anew shows it. */
START_TEST(a_change_of_quantity_does_not_walk_the_outline_again)
{
    static struct sg_segment segments[5];
    struct sg_outline plate = test_plate;
    memcpy(segments, test_plate.segments, sizeof segments);
    plate.segments = segments;
    test.drawn[0].outline = &plate;
    struct sg_plan_split before = planned()->split;
    for (int i = 1; i < 5; i++)
        segments[i].x0 = segments[i].x1 = 7;
    shop->parts[0].quantity = 7;
    ck_assert(planned()->split.corner == before.corner && planned()->split.straight == before.straight);
    ck_assert_double_eq_tol(planned()->cut, 7 * sg_split_cut(&before), 1e-9);
    shop->stocks[0].edge = 4; /* other limits: it is walked, as one that never saw it does */
    double walked = planned()->split.straight;
    struct sg_planner *fresh = sg_planner_new();
    ck_assert_double_eq(plan_of(fresh)->parts[0].split.straight, walked);
    sg_planner_free(fresh);
    shop->stocks[0].edge = 3;
    shop->parts[0].quantity = 8;
    ck_assert(planned()->split.corner == before.corner); /* and this one is still known */
    struct sg_planner *other = sg_planner_new();
    ck_assert(plan_of(other)->parts[0].split.straight < before.straight);
    sg_planner_free(other);
}
END_TEST

/* A box of 100 x 50 with one notch 20 x 10 deep in its upper side, or two of 20 x 5: the same length, box,
 * area and pierces, but other corners. */
static void draw_notched(struct drawing *drawing, int notches)
{
    double deep = 10.0 / notches, x = 100;
    drawing->n = 0;
    draw(drawing, line(0, 0, 100, 0));
    draw(drawing, line(100, 0, 100, 50));
    for (int i = 0; i < notches; i++, x -= 30) {
        draw(drawing, line(x, 50, x - 10, 50));
        draw(drawing, line(x - 10, 50, x - 10, 50 - deep));
        draw(drawing, line(x - 10, 50 - deep, x - 30, 50 - deep));
        draw(drawing, line(x - 30, 50 - deep, x - 30, 50));
    }
    draw(drawing, line(x, 50, 0, 50));
    draw(drawing, line(0, 50, 0, 0));
}

START_TEST(another_outline_of_the_same_figures_in_its_place_is_noticed)
{
    static struct drawing drawing;
    struct sg_outline notched[2] = {{0}};
    struct sg_drawn kept[2];
    for (int i = 0; i < 2; i++) {
        draw_notched(&drawing, i + 1);
        outline_of(&drawing, &notched[i]);
        kept[i] = test.drawn[test_shop_drawn(&test, "notched.dxf", &notched[i], false)];
    }
    ck_assert_double_eq_tol(notched[0].cut_length, notched[1].cut_length, 1e-12);
    ck_assert_double_eq_tol(notched[0].area, notched[1].area, 1e-12);
    notched[1].cut_length = notched[0].cut_length; /* to the last bit */
    notched[1].area = notched[0].area;
    shop->n_drawn = 1;
    double each[4];
    for (int i = 0; i < 4; i++) {
        test.drawn[0] = kept[i % 2];
        sg_part_measure(&shop->parts[0], shop);
        each[i] = planned()->each;
        ck_as_new("a swap");
    }
    ck_assert(each[0] == each[2] && each[1] == each[3] && each[0] < each[1]);
    sg_outline_free(&notched[0]);
    sg_outline_free(&notched[1]);
}
END_TEST

START_TEST(a_program_in_the_place_of_a_drawing_with_the_same_contours_is_noticed)
{
    for (int i = 0; i < 4; i++) {
        test.drawn[0].program = i % 2;
        ck_assert((planned()->split.lead > 0) == !test.drawn[0].program);
        ck_as_new("another kind of file");
    }
}
END_TEST

START_TEST(outlines_that_come_and_go_leave_the_plan_of_a_new_planner)
{
    for (int i = 0; i < 300; i++) {
        if (i % 20 == 0) {
            drop_outlines();
            draw_outlines();
        }
        if (random_below(&r, 3) == 0)
            roll_case();
        else if (random_below(&r, 3) == 0)
            shop->parts[0].outline = SG_UNKNOWN;
        shop->machine.rapid = random_below(&r, 4) ? shop->machine.rapid : within(&r, 500, 20000);
        shop->machine.lead = random_below(&r, 4) ? shop->machine.lead : within(&r, 0, 1);
        shop->parts[0].quantity++;
        ck_as_new("a change");
    }
    drop_outlines();
}
END_TEST

START_TEST(a_part_that_loses_its_outline_has_no_split)
{
    static const struct sg_plan_split nothing;
    planned();
    shop->parts[0].outline = SG_UNKNOWN;
    ck_assert(memcmp(&planned()->split, &nothing, sizeof nothing) == 0);
    ck_near(planned()->cut, 6 * (320 + 20 * pi) / planned()->traverse * 60);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plan along outlines");
    TCase *tests = tcase_create("plan along outlines");
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, a_part_takes_its_outline_leads_rapids_and_pierces);
    tcase_add_test(tests, an_edge_or_feed_of_the_part_is_the_one_that_counts);
    tcase_add_test(tests, a_part_program_has_its_leads_and_a_drawing_those_of_the_machine);
    tcase_add_test(tests, a_typed_rapid_length_is_taken_at_the_rapid_speed);
    tcase_add_test(tests, water_alone_does_not_lag);
    tcase_add_test(tests, without_a_traverse_the_cut_is_not_known_and_the_way_is);
    tcase_add_test(tests, the_split_adds_up_to_the_cut_and_nothing_is_less_than_nothing);
    tcase_add_test(tests, no_cut_is_faster_in_thicker_stock_or_with_a_finer_edge);
    tcase_add_test(tests, a_change_of_quantity_does_not_walk_the_outline_again);
    tcase_add_test(tests, another_outline_of_the_same_figures_in_its_place_is_noticed);
    tcase_add_test(tests, a_program_in_the_place_of_a_drawing_with_the_same_contours_is_noticed);
    tcase_add_test(tests, outlines_that_come_and_go_leave_the_plan_of_a_new_planner);
    tcase_add_test(tests, a_part_that_loses_its_outline_has_no_split);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
