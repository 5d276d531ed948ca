/* The equations of the model against a second evaluation in long double, what must hold whatever the numbers,
 * and what a setup says of itself. The equations are written here from their sources (see jet.h, traverse.h),
 * not from the code. */
#include "sandglass/field.h"
#include "sandglass/jet.h"
#include "sandglass/layout.h"
#include "sandglass/pierce.h"
#include "sandglass/setup.h"
#include "sandglass/sheet.h"
#include "sandglass/traverse.h"

#include "support/must.h"
#include "support/random.h"
#include "support/shop.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The second evaluation is wider on purpose. */
#pragma GCC diagnostic ignored "-Wdouble-promotion"

#define UNKNOWN ((double)NAN)

enum { TIMES = 20000 };

static struct random r;

static void set_up(void)
{
    r = (struct random){88172645463325252u};
}

static double between(double low, double high)
{
    return low + (high - low) * random_unit(&r);
}

#define same(value, expected) same_at(__LINE__, value, expected)
static void same_at(int line, double value, long double expected)
{
    must(fabsl(value - expected) <= 1e-12L * fabsl(expected), "line %d: %.17g, expected %.17Lg", line, value,
         expected);
}

/* ---- equations ---- */

static const long double pi = 3.141592653589793238462643383279502884L;

START_TEST(a_water_jet)
{
    for (int i = 0; i < TIMES; i++) {
        double p = between(1, 700), bore = between(0.05, 1), cd = between(0.5, 1), garnet = between(50, 1500);
        long double pa = p * 1e6L, metres = bore / 1000.0L, density = 1000;
        long double bernoulli = sqrtl(2 * pa / density);
        long double flow_m3_s = cd * pi / 4 * metres * metres * bernoulli;
        /* (1 + P/L)^(1-n) - 1 without cancelling */
        long double ratio = p / 300.0L, n = 0.1368L;
        long double psi = sqrtl(expm1l((1 - n) * log1pl(ratio)) / (ratio * (1 - n)));
        same(sg_jet_flow(p, bore, cd), flow_m3_s * 60000);
        same(sg_jet_compressibility(p), psi);
        same(sg_jet_velocity(p), psi * bernoulli);
        same(sg_jet_power(p, (double)(flow_m3_s * 60000)), pa * flow_m3_s / 1000);
        same(sg_jet_thrust(p, bore), pi / 2 * metres * metres * pa);
        same(sg_loading_ratio(garnet, (double)(flow_m3_s * 60000)),
             garnet / 60000.0L / (flow_m3_s * density));
    }
    must_hold(sg_jet_compressibility(0) == 1);
    must_hold(sg_jet_velocity(0) == 0);
}
END_TEST

static struct sg_abrasive_jet any_jet(void)
{
    return (struct sg_abrasive_jet){between(50, 600), between(0.1, 0.6), between(0.4, 2), between(50, 1500),
                                    between(0.3, 2)};
}

START_TEST(the_abrasive_speed)
{
    for (int i = 0; i < TIMES; i++) {
        struct sg_abrasive_jet jet = any_jet();
        double nm = between(3, 3000), h = between(0.5, 200), q = between(1, 5);
        long double log_u = 1.15L * (logl(jet.abrasive_factor) + logl(nm) + 1.594L * logl(jet.pressure) +
                                     1.374L * logl(jet.orifice) + 0.343L * logl(jet.garnet) - logl(788) -
                                     logl(h) - 0.618L * logl(jet.tube));
        same(sg_separation_speed(&jet, nm, h), expl(log_u));
        same(sg_edge_factor(q), expl(-1.15L * logl(q)));
        double u = sg_separation_speed(&jet, nm, h);
        same(sg_edge_at(u, u * sg_edge_factor(q)), q);
    }
}
END_TEST

START_TEST(the_water_speed)
{
    for (int i = 0; i < TIMES; i++) {
        double kw = between(0.1, 40), p = between(50, 400), energy = between(0.1, 50), h = between(0.5, 100);
        double threshold = between(0, 400);
        long double mm_s = kw * 1000.0L / ((long double)energy * h);
        same(sg_water_speed(kw, p, energy, UNKNOWN, h), mm_s * 60);
        double speed = sg_water_speed(kw, p, energy, threshold, h);
        if (threshold < p)
            ck_assert_double_eq_tol(speed, (double)(mm_s * 60 * (p - threshold) / p), 1e-9 * (double)mm_s);
        else
            must_hold(speed == 0);
    }
    must_hold(sg_water_speed(5, 200, 1, 200, 10) == 0);
}
END_TEST

START_TEST(a_pierce)
{
    for (int i = 0; i < TIMES; i++) {
        double base = between(0, 10), factor = between(0, 5), h = between(0.5, 100), u = between(1, 20000);
        same(sg_pierce_time(base, factor, h, u), base + factor * (long double)h * 60 / u);
        same(sg_pierce_time_water(h, u), 0.5L + (long double)h * 60 / u);
    }
    must_hold(sg_pierce_time(0.5, 0, 10, UNKNOWN) == 0.5); /* drilled: the speed does not matter */
}
END_TEST

START_TEST(mass_load_and_kerf)
{
    for (int i = 0; i < TIMES; i++) {
        double l = between(10, 6000), w = between(10, 3000), t = between(0.1, 200);
        double rho = between(20, 20000);
        same(sg_sheet_mass(l, w, t, rho), (long double)l * w * t * rho * 1e-9L);
        same(sg_slat_load(t, rho), (long double)t * rho * 1e-3L);
        same(sg_kerf(true, t), 1.05L * t);
        same(sg_kerf(false, t), 1.2L * t);
    }
}
END_TEST

/* ---- sheets ---- */

/* Pieces laid one after another until the next would pass the margin. */
static int64_t lay(double room, double margin, double spacing, double piece)
{
    int64_t n = 0;
    while (margin + (double)(n + 1) * piece + (double)n * spacing <= room - margin + 1e-9 * (piece + spacing))
        n++;
    return n;
}

/* Pieces on one sheet that are laid out. */
static int64_t laid(struct sg_layout *layout, double length, double width, double margin, double gap,
                    struct sg_layout_part part)
{
    const struct sg_layout_sheet sheet = {length, width, 1};
    const struct sg_layout_input input = {
        .parts = &part, .n_parts = 1, .sheets = &sheet, .n_sheets = 1, .gap = gap, .margin = margin};
    must_hold(sg_layout_make(&input, layout));
    return layout->n_placements;
}

START_TEST(one_kind_of_piece_is_never_fewer_on_a_sheet_than_rows_and_columns)
{
    enum { MOST = 300 };
    struct sg_layout layout = {.n_used = 0};
    int64_t more = 0;
    for (int i = 0; i < TIMES / 10; i++) {
        double sl = 100 + 50 * random_below(&r, 60), sw = 100 + 50 * random_below(&r, 30);
        double margin = random_below(&r, 30), gap = random_below(&r, 20);
        double l = 10 + random_below(&r, 500), w = 10 + random_below(&r, 500);
        bool turn = random_below(&r, 2);
        int64_t straight = lay(sl, margin, gap, l) * lay(sw, margin, gap, w);
        int64_t turned = lay(sl, margin, gap, w) * lay(sw, margin, gap, l);
        int64_t rows = turn && turned > straight ? turned : straight;
        if (rows > MOST)
            continue;
        int64_t n = laid(&layout, sl, sw, margin, gap, (struct sg_layout_part){l, w, 2 * MOST, turn});
        must(n >= rows, "%lld of %g x %g on %g x %g, rows and columns hold %lld", (long long)n, l, w, sl, sw,
             (long long)rows);
        more += n > rows;
    }
    ck_assert_int_gt(more, TIMES / 200);
    sg_layout_free(&layout);
}
END_TEST

START_TEST(index_moves_by_moving_once_more)
{
    for (int i = 0; i < TIMES; i++) {
        double table = 100 + 50 * random_below(&r, 30), reach = between(1, 20000);
        int64_t moves = 0;
        if (random_below(&r, 2))
            reach = table * (1 + random_below(&r, 20)); /* just reached */
        while ((double)(moves + 1) * table < reach * (1 - 1e-12))
            moves++;
        must_hold(sg_index_moves(reach, table) == moves);
    }
}
END_TEST

/* ---- what must hold whatever the numbers ---- */

START_TEST(more_of_one_thing_is_faster_or_slower)
{
    for (int i = 0; i < TIMES; i++) {
        struct sg_abrasive_jet jet = any_jet(), more;
        double h = between(1, 100), nm = between(10, 1000), k = between(1.001, 2), edge = between(1, 4.9);
        double u = sg_separation_speed(&jet, nm, h);
        double *const faster[] = {&more.pressure, &more.orifice, &more.garnet, &more.abrasive_factor};
        for (int f = 0; f < 4; f++) {
            more = jet;
            *faster[f] *= k;
            must_hold(sg_separation_speed(&more, nm, h) > u);
        }
        more = jet;
        more.tube *= k;
        must_hold(sg_separation_speed(&more, nm, h) < u);
        must_hold(sg_separation_speed(&jet, nm, h * k) < u);
        must_hold(sg_separation_speed(&jet, nm * k, h) > u);
        must_hold(sg_edge_factor(edge + 0.1) < sg_edge_factor(edge) && sg_edge_factor(edge) <= 1);
        must_hold(sg_pierce_time(1.5, 3, h * k, u) > sg_pierce_time(1.5, 3, h, u));
        must_hold(sg_jet_compressibility(jet.pressure * k) < sg_jet_compressibility(jet.pressure));
    }
}
END_TEST

START_TEST(what_is_not_known_makes_the_result_not_known)
{
    const struct sg_abrasive_jet jet = {300, 0.33, 1, 400, 1};
    for (int i = 0; i < 5; i++) {
        struct sg_abrasive_jet one = jet;
        double *const inputs[] = {&one.pressure, &one.orifice, &one.tube, &one.garnet, &one.abrasive_factor};
        *inputs[i] = UNKNOWN;
        must_hold(isnan(sg_separation_speed(&one, 100, 10)));
        must_hold(i == 4 || !sg_abrasive_in_range(&one, 10));
    }
    must_hold(isnan(sg_separation_speed(&jet, UNKNOWN, 10)) &&
              isnan(sg_separation_speed(&jet, 100, UNKNOWN)));
    must_hold(isnan(sg_jet_flow(UNKNOWN, 1, 1)) && isnan(sg_jet_flow(1, UNKNOWN, 1)) &&
              isnan(sg_jet_flow(1, 1, UNKNOWN)));
    must_hold(isnan(sg_jet_velocity(UNKNOWN)) && isnan(sg_jet_power(UNKNOWN, 1)) &&
              isnan(sg_jet_power(1, UNKNOWN)));
    must_hold(isnan(sg_water_speed(5, 200, UNKNOWN, UNKNOWN, 10)) &&
              isnan(sg_water_speed(5, 200, 1, UNKNOWN, UNKNOWN)));
    must_hold(isnan(sg_water_speed(UNKNOWN, 200, 1, UNKNOWN, 10)));
    must_hold(isnan(sg_pierce_time(1, 2, UNKNOWN, 100)) && isnan(sg_pierce_time(1, 2, 10, UNKNOWN)));
    must_hold(isnan(sg_pierce_time_water(10, UNKNOWN)) && isnan(sg_sheet_mass(1, UNKNOWN, 1, 1)));
    must_hold(isnan(sg_slat_load(UNKNOWN, 1)) && isnan(sg_edge_factor(UNKNOWN)) &&
              isnan(sg_edge_at(UNKNOWN, 1)));
}
END_TEST

START_TEST(the_range_of_the_formula_has_its_published_ends)
{
    const struct sg_abrasive_jet jet = {300, 0.33, 1, 400, 1};
    static const double low[] = {140, 0.23, 0.76, 100, 3}, high[] = {380, 0.46, 1.6, 900, 100};
    must_hold(sg_abrasive_in_range(&jet, 10));
    for (int i = 0; i < 5; i++)
        for (int end = 0; end < 2; end++) {
            struct sg_abrasive_jet one = jet;
            double height = 10, *const inputs[] = {&one.pressure, &one.orifice, &one.tube, &one.garnet,
                                                   &height};
            *inputs[i] = end ? high[i] : low[i];
            must_hold(sg_abrasive_in_range(&one, height));
            *inputs[i] = end ? high[i] * 1.001 : low[i] * 0.999;
            must_hold(!sg_abrasive_in_range(&one, height));
        }
}
END_TEST

/* ---- a setup ---- */

static struct sg_machine machine;
static struct sg_head abrasive, water;
static struct sg_material steel, foam;
static struct sg_stock stock;
static struct sg_setup setup;

static void set_up_fresh(void)
{
    static struct test_shop shop;
    test_shop_make(&shop);
    set_up();
    machine = sg_fresh_machine;
    abrasive = sg_fresh_heads[0];
    water = sg_fresh_heads[1];
    steel = shop.materials[0];
    foam = shop.materials[3];
    stock = sg_fresh_stock;
    stock.thickness = 10;
    test_shop_free(&shop);
}

static unsigned marks(const struct sg_head *head, const struct sg_material *material)
{
    sg_setup_compute(&machine, head, material, &stock, &setup);
    return setup.marks;
}

START_TEST(a_plain_setup_has_no_mark_and_the_formulas_figures)
{
    ck_assert_uint_eq(marks(&abrasive, &steel), 0);
    struct sg_abrasive_jet jet = {abrasive.pressure, abrasive.orifice, abrasive.tube, abrasive.garnet, 1};
    double u = sg_separation_speed(&jet, 87.6, 10);
    same(setup.separation, u);
    same(setup.traverse, u * sg_edge_factor(3));
    same(setup.edge_cut, 3);
    same(setup.pierce, 1.5L + 3.0L * 10 * 60 / u);
    same(setup.shaft_power, setup.jet_power / 0.90L);
    same(setup.kerf, 1.05L * abrasive.tube);
    must_hold(setup.traverse_basis == SG_BASIS_RECALLED);
    must_hold(setup.pierce_basis == SG_BASIS_ESTIMATE);
    ck_assert_uint_eq(marks(&water, &foam), 0);
    double mm_min = sg_water_speed(setup.jet_power, water.pressure, 0.5, UNKNOWN, 10);
    must_hold(mm_min > machine.top_feed); /* so that it is capped */
    same(setup.traverse, machine.top_feed);
    same(setup.separation, machine.top_feed);
    same(setup.pierce, 0.5L + 10.0L * 60 / machine.top_feed);
    same(setup.kerf, 1.2L * water.orifice);
    must_hold(isnan(setup.edge_cut) && isnan(setup.loading_ratio) && setup.garnet == 0);
}
END_TEST

/* Each mark: what brings it, from a setup without any. */
START_TEST(each_mark_comes_with_its_cause_and_not_without)
{
    struct {
        unsigned mark;
        double *what;
        double harmless, harmful;
    } cases[] = {
        {SG_MARK_RANGE, &stock.thickness, 3, 2.9},
        {SG_MARK_RANGE, &stock.thickness, 100, 101},
        {SG_MARK_LOADING, &abrasive.garnet, 780, 790}, /* R = 0.25 at 783 g/min with 3.13 L/min */
        {SG_MARK_TUBE_RATIO, &abrasive.tube, 0.3302 * 2.51, 0.3302 * 2.49},
        {SG_MARK_TUBE_RATIO, &abrasive.tube, 0.3302 * 4.49, 0.3302 * 4.51},
        {SG_MARK_WILL_NOT_CUT, &stock.feed_override, 3.5, 3.6}, /* 3^1.15 = 3.537 */
        {SG_MARK_PRESSURE, &machine.max_pressure, abrasive.pressure, abrasive.pressure * 0.999},
        {SG_MARK_FLOW, &machine.max_flow, 3.14, 3.12},
        {SG_MARK_POWER, &machine.pump_power, 22.0, 21.9}, /* 379.2 x 3.13 / 60 / 0.9 */
        {SG_MARK_Z_TRAVEL, &machine.z_travel, 10, 9.99},
        {SG_MARK_NO_SPEED, &steel.machinability, 87.6, UNKNOWN},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        set_up_fresh();
        *cases[i].what = cases[i].harmless;
        must(!(marks(&abrasive, &steel) & cases[i].mark), "case %zu", i);
        *cases[i].what = cases[i].harmful;
        must(marks(&abrasive, &steel) & cases[i].mark, "case %zu", i);
    }
    set_up_fresh();
    must_hold(marks(&water, &steel) & SG_MARK_WATER_NO);
    must_hold(marks(&water, &steel) & SG_MARK_NO_SPEED);
    must_hold(marks(&abrasive, &foam) & SG_MARK_ABRASIVE_SOFT);
    stock.feed = machine.top_feed * 1.01;
    must_hold(marks(&abrasive, &steel) & SG_MARK_TOP_FEED);
    must_hold(setup.traverse == machine.top_feed);
    stock.feed = machine.top_feed;
    must_hold(!(marks(&abrasive, &steel) & SG_MARK_TOP_FEED));
}
END_TEST

START_TEST(brittle_material_is_marked_when_pierced_at_full_pressure)
{
    static const bool marked[SG_PIERCE_WAYS] = {true, true, false, false};
    for (int way = 0; way < SG_PIERCE_WAYS; way++)
        for (int hazard = 0; hazard < SG_HAZARDS; hazard++) {
            bool brittle = 1 << hazard == SG_HAZARD_BRITTLE || 1 << hazard == SG_HAZARD_LAMINATE;
            stock.pierce = way;
            steel.hazards = 1 << hazard;
            bool said = marks(&abrasive, &steel) & SG_MARK_STILL_BRITTLE;
            must_hold(said == (marked[way] && brittle));
        }
}
END_TEST

START_TEST(each_way_to_pierce_has_its_constants)
{
    static const long double base[] = {1.5L, 1.5L, 4.5L, 0.5L}, factor[] = {3, 1.5L, 2, 0};
    for (int way = 0; way < SG_PIERCE_WAYS; way++) {
        stock.pierce = way;
        marks(&abrasive, &steel);
        struct sg_abrasive_jet jet = {abrasive.pressure, abrasive.orifice, abrasive.tube, abrasive.garnet, 1};
        if (way == SG_PIERCE_LOW)
            jet.pressure = abrasive.low_pressure;
        same(setup.pierce, base[way] + factor[way] * 10 * 60 / sg_separation_speed(&jet, 87.6, 10));
    }
}
END_TEST

START_TEST(a_worn_tube_costs_speed)
{
    /* 1.016 to 1.20 mm: (1.016 / 1.20)^(0.618 x 1.15) = 0.888, 11 % less */
    abrasive.tube = 1.016;
    marks(&abrasive, &steel);
    double fresh = setup.traverse;
    abrasive.tube_wear = 0.46; /* mm in 100 h */
    abrasive.tube_hours = 40 * 3600.0;
    marks(&abrasive, &steel);
    ck_assert_double_eq_tol(setup.bore, 1.20, 1e-12);
    ck_assert_double_eq_tol(1 - setup.traverse / fresh, 0.11, 0.005);
    same(setup.traverse / fresh, powl(1.016L / setup.bore, 0.618L * 1.15L));
    same(setup.kerf, 1.05L * setup.bore);
}
END_TEST

static bool same_setup(const struct sg_setup *a, const struct sg_setup *b)
{
    return a->height == b->height && a->separation == b->separation && a->traverse == b->traverse &&
           a->edge_cut == b->edge_cut && a->pierce == b->pierce && a->kerf == b->kerf &&
           a->marks == b->marks && a->traverse_basis == b->traverse_basis &&
           a->pierce_basis == b->pierce_basis;
}

START_TEST(a_stack_is_one_thick_sheet)
{
    stock.thickness = 2;
    stock.stack = 5;
    marks(&abrasive, &steel);
    struct sg_setup stacked = setup;
    stock.thickness = 10;
    stock.stack = 1;
    marks(&abrasive, &steel);
    must_hold(same_setup(&stacked, &setup));
}
END_TEST

START_TEST(typed_feed_and_pierce_win_over_the_model)
{
    stock.feed = 123;
    stock.pierce_seconds = 4;
    stock.feed_override = 0.5;
    marks(&abrasive, &steel);
    must_hold(setup.traverse == 123 && setup.pierce == 4);
    must_hold(setup.traverse_basis == SG_BASIS_TYPED);
    must_hold(setup.pierce_basis == SG_BASIS_TYPED);
    same(setup.edge_cut, powl(setup.separation / 123, 1 / 1.15L));
    struct sg_part part = sg_fresh_part;
    struct sg_setup own = setup;
    sg_setup_for_part(&machine, &stock, &part, &own);
    must_hold(same_setup(&own, &setup));
    part.feed = 77;
    part.pierce_seconds = 9;
    sg_setup_for_part(&machine, &stock, &part, &own);
    must_hold(own.traverse == 77 && own.pierce == 9);
}
END_TEST

START_TEST(a_part_may_have_an_edge_of_its_own)
{
    struct sg_part part = sg_fresh_part;
    marks(&abrasive, &steel);
    struct sg_setup own = setup;
    part.edge = 5;
    sg_setup_for_part(&machine, &stock, &part, &own);
    same(own.traverse, setup.separation * powl(5, -1.15L));
    must_hold(own.pierce == setup.pierce);
}
END_TEST

START_TEST(without_a_material_nothing_has_a_speed)
{
    marks(&abrasive, NULL);
    must_hold(isnan(setup.separation) && isnan(setup.traverse) && isnan(setup.pierce));
    must_hold(setup.water > 0 && setup.garnet == abrasive.garnet);
    stock.thickness = UNKNOWN;
    marks(&abrasive, &steel);
    must_hold(isnan(setup.traverse) && isnan(setup.pierce));
}
END_TEST

START_TEST(a_stock_takes_its_own_head_or_the_materials_kind)
{
    static struct test_shop shop;
    test_shop_make(&shop);
    stock.material = 3; /* foam: water */
    must_hold(sg_setup_head(&shop.shop, &stock) == 1);
    stock.material = 0;
    must_hold(sg_setup_head(&shop.shop, &stock) == 0);
    stock.head = 1;
    must_hold(sg_setup_head(&shop.shop, &stock) == 1);
    stock.head = stock.material = SG_UNKNOWN;
    must_hold(sg_setup_head(&shop.shop, &stock) == 0);
    test_shop_free(&shop);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("model");
    TCase *equations = tcase_create("equations"), *setups = tcase_create("setups");
    tcase_add_checked_fixture(equations, set_up, NULL);
    tcase_add_checked_fixture(setups, set_up_fresh, NULL);
    tcase_add_test(equations, a_water_jet);
    tcase_add_test(equations, the_abrasive_speed);
    tcase_add_test(equations, the_water_speed);
    tcase_add_test(equations, a_pierce);
    tcase_add_test(equations, mass_load_and_kerf);
    tcase_add_test(equations, one_kind_of_piece_is_never_fewer_on_a_sheet_than_rows_and_columns);
    tcase_add_test(equations, index_moves_by_moving_once_more);
    tcase_add_test(equations, more_of_one_thing_is_faster_or_slower);
    tcase_add_test(equations, what_is_not_known_makes_the_result_not_known);
    tcase_add_test(equations, the_range_of_the_formula_has_its_published_ends);
    tcase_add_test(setups, a_plain_setup_has_no_mark_and_the_formulas_figures);
    tcase_add_test(setups, each_mark_comes_with_its_cause_and_not_without);
    tcase_add_test(setups, brittle_material_is_marked_when_pierced_at_full_pressure);
    tcase_add_test(setups, each_way_to_pierce_has_its_constants);
    tcase_add_test(setups, a_worn_tube_costs_speed);
    tcase_add_test(setups, a_stack_is_one_thick_sheet);
    tcase_add_test(setups, typed_feed_and_pierce_win_over_the_model);
    tcase_add_test(setups, a_part_may_have_an_edge_of_its_own);
    tcase_add_test(setups, without_a_material_nothing_has_a_speed);
    tcase_add_test(setups, a_stock_takes_its_own_head_or_the_materials_kind);
    suite_add_tcase(suite, equations);
    suite_add_tcase(suite, setups);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
