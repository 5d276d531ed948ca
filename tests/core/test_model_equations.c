/* The equations of the model against a second evaluation in long double, and what must hold whatever the
 * numbers. The equations are written here from their sources (see jet.h, traverse.h), not from the code. */
#include "sandglass/field.h"
#include "sandglass/jet.h"
#include "sandglass/layout.h"
#include "sandglass/pierce.h"
#include "sandglass/sheet.h"
#include "sandglass/traverse.h"

#include "core/same.h"
#include "support/random.h"
#include "support/suite.h"

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

int main(void)
{
    TCase *equations = tcase_create("equations");
    tcase_add_checked_fixture(equations, set_up, NULL);
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
    return run_case("model, equations", equations);
}
