/* What a setup says of itself: the figures of the formulas, how it is pierced, its marks and their causes. */
#include "sandglass/setup.h"
#include "sandglass/traverse.h"

#include "core/same.h"
#include "support/shop.h"
#include "support/suite.h"

static struct sg_machine machine;
static struct sg_head abrasive, water;
static struct sg_material steel, foam;
static struct sg_stock stock;
static struct sg_setup setup;

static void set_up_fresh(void)
{
    static struct test_shop shop;
    test_shop_make(&shop);
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
    TCase *setups = tcase_create("setups");
    tcase_add_checked_fixture(setups, set_up_fresh, NULL);
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
    return run_case("model, setup", setups);
}
