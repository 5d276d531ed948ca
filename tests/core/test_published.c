/* The published check values of fixtures/checks/published.csv, each computed through the core's own
 * functions. A row without a function here, or a function without a row, is a failure. */
#include "sandglass/field.h"
#include "sandglass/jet.h"
#include "sandglass/number.h"
#include "sandglass/plan.h"
#include "sandglass/run.h"
#include "sandglass/setup.h"
#include "sandglass/sheet.h"
#include "sandglass/traverse.h"

#include "support/shop.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- the core, with the units of the check values ---- */

/* What a person types, in canonical units. */
static double typed(const char *text, enum sg_dimension dimension)
{
    struct sg_reading how = {.dimension = dimension, .bare = NULL};
    struct sg_parsed parsed;
    sg_number_parse(text, &how, &parsed);
    ck_assert_msg(parsed.state == SG_PARSE_WHOLE, "%s: %s", text, parsed.text);
    return parsed.value;
}

static double in_unit(double canonical, const char *unit)
{
    return (double)sg_from_canonical(canonical, sg_unit_find(unit, strlen(unit)));
}

static double ksi(double value)
{
    char text[64];
    snprintf(text, sizeof text, "%.17g ksi", value);
    return typed(text, SG_DIM_PRESSURE);
}

/* Velocity by Bernoulli, m/s. */
static double ideal_velocity(double pressure)
{
    return sg_jet_velocity(pressure) / sg_jet_compressibility(pressure);
}

/* Where a rising function meets a value. */
static double solve(double (*f)(double), double value, double low, double high)
{
    for (int i = 0; i < 200; i++) {
        double middle = (low + high) / 2;
        if (f(middle) < value)
            low = middle;
        else
            high = middle;
    }
    return (low + high) / 2;
}

/* A row that is one expression. */
#define COMPUTED(row, expression)                                                                            \
    static double row(void)                                                                                  \
    {                                                                                                        \
        return expression;                                                                                   \
    }

/* ---- water jets ---- */

COMPUTED(orf_02, ideal_velocity(ksi(55)) / 0.3048)
COMPUTED(orf_01, orf_02() / sqrt(55000))

COMPUTED(orf_03,
         in_unit(sg_jet_flow(ksi(55), typed("0.010 in", SG_DIM_LENGTH), 1), "gpm") / (1e-4 * sqrt(55000)))

/* A line loses pressure with the square of the flow; where is the nozzle's power the greatest? */
static double orf_06(void)
{
    double best = 0, at = 0;
    for (double loss = 0.001; loss < 1; loss += 0.0001)
        if (sg_jet_power(400 * (1 - loss), sqrt(loss)) > best) {
            best = sg_jet_power(400 * (1 - loss), sqrt(loss));
            at = loss;
        }
    return at;
}

static double flow_through_0_010_in(double pressure)
{
    return sg_jet_flow(pressure, typed("0.010 in", SG_DIM_LENGTH), 1);
}

static double pressure_for_1_gpm(void)
{
    return solve(flow_through_0_010_in, typed("1 gpm", SG_DIM_FLOW), 1, 2000);
}

COMPUTED(orf_07, ideal_velocity(pressure_for_1_gpm()))
COMPUTED(orf_08, sg_jet_thrust(pressure_for_1_gpm(), typed("0.010 in", SG_DIM_LENGTH)))
COMPUTED(orf_09, orf_08() / (0.45359237 * 9.80665))

/* The exercise has a velocity coefficient of 0.98 and takes 0.96 for compressibility. */
static double exercise_velocity(double pressure)
{
    return 0.98 * 0.96 * ideal_velocity(pressure);
}

static double exercise_mass_flow(double pressure)
{
    return sg_jet_flow(pressure, 0.3, 0.65) / 60; /* kg/s */
}

static double exercise_kinetic_kw(double pressure)
{
    return exercise_mass_flow(pressure) * pow(exercise_velocity(pressure), 2) / 2000;
}

COMPUTED(orf_10, solve(exercise_kinetic_kw, 12.3, 1, 2000))
COMPUTED(orf_12, exercise_velocity(orf_10()))
COMPUTED(orf_13, exercise_mass_flow(orf_10()) * orf_12() * (1 + 0.8 * sqrt(0.75)))
COMPUTED(orf_14, sg_jet_flow(379.2, 0.3556, 0.70))

static double gpm(double pressure, const char *orifice)
{
    return in_unit(sg_jet_flow(pressure, typed(orifice, SG_DIM_LENGTH), 0.70), "gpm");
}

COMPUTED(orf_15, gpm(ksi(55), "0.014 in"))

static double orf_16(void)
{
    double flow = sg_jet_flow(ksi(55), typed("0.014 in", SG_DIM_LENGTH), 0.70);
    return in_unit(sg_jet_power(ksi(55), flow), "hp");
}

COMPUTED(orf_18, gpm(ksi(50), "0.013 in"))
COMPUTED(orf_19, gpm(ksi(55), "0.005 in"))

static struct sg_setup fresh_setup(const struct sg_material *material)
{
    struct sg_stock stock = sg_fresh_stock;
    struct sg_setup setup;
    stock.thickness = 10;
    sg_setup_compute(&sg_fresh_machine, &sg_fresh_heads[0], material, &stock, &setup);
    return setup;
}

COMPUTED(orf_21, fresh_setup(NULL).jet_velocity)
COMPUTED(cmp_07, sg_jet_compressibility(379.2))
COMPUTED(cmp_09, sg_jet_compressibility(413.7))
COMPUTED(cmp_10, sg_jet_velocity(400))
COMPUTED(cmp_12, sg_jet_compressibility(345))
COMPUTED(cmp_13, sg_jet_compressibility(400))
COMPUTED(cmp_14, sg_jet_compressibility(358))

/* ---- traverse ---- */

static const struct sg_abrasive_jet jet_345 = {345, 0.33, 1.02, 450, 1},
                                    jet_379 = {379.2, 0.3556, 1.016, 340.2, 1};

static double zk_01(void)
{
    double u = sg_separation_speed(&jet_345, 87.6, 12.7);
    return 87.6 * pow(345, 1.594) * pow(0.33, 1.374) * pow(450, 0.343) /
           (12.7 * pow(1.02, 0.618) * pow(u, 1 / 1.15));
}

/* Speed in in/min from US inputs. */
static double us_speed(double edge)
{
    struct sg_abrasive_jet jet = {ksi(55), typed("0.014 in", SG_DIM_LENGTH), typed("0.040 in", SG_DIM_LENGTH),
                                  typed("0.75 lb/min", SG_DIM_GARNET_FEED), 1};
    double u = sg_separation_speed(&jet, 213, typed("1/4 in", SG_DIM_LENGTH));
    return in_unit(u * sg_edge_factor(edge), "in/min");
}

COMPUTED(zk_03, 213 * pow(55, 1.594) * pow(0.014, 1.374) * pow(0.75, 0.343) /
                    (0.25 * pow(0.040, 0.618) * pow(us_speed(1), 1 / 1.15)))

/* An exponent inside the bracket, from the speed of a jet with something doubled. */
static double exponent(struct sg_abrasive_jet twice)
{
    return log2(sg_separation_speed(&twice, 100, 10) / sg_separation_speed(&jet_345, 100, 10)) / 1.15;
}
COMPUTED(zk_04, exponent((struct sg_abrasive_jet){2 * 345, 0.33, 1.02, 450, 1}))
COMPUTED(zk_05, exponent((struct sg_abrasive_jet){345, 2 * 0.33, 1.02, 450, 1}))
COMPUTED(zk_06, sg_separation_speed(&jet_345, 87.6, 12.7))
COMPUTED(zk_08, sg_separation_speed(&jet_345, 87.6, 12.7) * sg_edge_factor(5))
COMPUTED(zk_09, sg_separation_speed(&jet_345, 87.6, 25.4))
COMPUTED(zk_11, sg_separation_speed(&jet_379, 213, 6.35) * sg_edge_factor(3))
COMPUTED(zk_13, sg_separation_speed(&jet_379, 81.9, 6.35) * sg_edge_factor(3))
COMPUTED(zk_14, sg_separation_speed(&jet_379, 115, 12.7) * sg_edge_factor(3))
COMPUTED(zk_16, sg_separation_speed(&jet_379, 322, 20) * sg_edge_factor(3))
COMPUTED(zk_19, us_speed(3))
COMPUTED(zk_22, sg_edge_factor(3))
COMPUTED(zk_23, sg_edge_factor(4))
COMPUTED(zk_25, sg_separation_speed(&jet_379, 100, 20) / sg_separation_speed(&jet_379, 100, 10))

/* ---- energy and measured cuts ---- */

COMPUTED(ene_01, ideal_velocity(400))
COMPUTED(ene_02, sg_jet_flow(400, 0.3, 1) / 60)

/* The lesson: 1 kg/min of garnet takes its share of the momentum; no losses. */
static double ene_04(void)
{
    double loading = sg_loading_ratio(1000, sg_jet_flow(400, 0.3, 1));
    double garnet_m_s = ideal_velocity(400) / (1 + loading);
    double power_w = 1.0 / 60 * garnet_m_s * garnet_m_s / 2;
    return power_w / (13.4 * 1 * (300.0 / 60));
}

/* Depth that the formula gives at a feed. */
static double depth(const struct sg_abrasive_jet *jet, double machinability, double feed)
{
    return pow(sg_separation_speed(jet, machinability, 1) / feed, 1 / 1.15);
}

static double ene_05(void)
{
    const struct sg_abrasive_jet jet = {400, 0.3, 1, 1000, 1};
    return ene_04() / depth(&jet, 87.6, 300);
}

/* Orifice and tube were not seen in these sources; those of a fresh head stand for them. */
static struct sg_abrasive_jet fresh_bores(double pressure, double garnet)
{
    return (struct sg_abrasive_jet){pressure, sg_fresh_heads[0].orifice, sg_fresh_heads[0].tube, garnet, 1};
}

static double mea_01(void)
{
    struct sg_abrasive_jet jet = fresh_bores(300, 180.59);
    return depth(&jet, 322, 100);
}

static double mea_03(void)
{
    struct sg_abrasive_jet jet = fresh_bores(200, 220.015);
    return depth(&jet, 322, 100);
}

static double mea_04(void)
{
    struct sg_abrasive_jet jet = fresh_bores(300, 200);
    return sg_separation_speed(&jet, 2637, 54);
}

static double mea_05(void)
{
    struct sg_abrasive_jet jet = fresh_bores(380, 450);
    return sg_separation_speed(&jet, 2637, 18);
}

COMPUTED(mea_18, typed("=9.6 ft/min / 60", SG_DIM_FEED))

/* Whole edges that a stock accepts. */
static double qlt_01(void)
{
    static struct test_shop shop;
    int accepted = 0;
    test_shop_make(&shop);
    for (int edge = -5; edge <= 20; edge++) {
        char text[16];
        struct sg_typed out;
        snprintf(text, sizeof text, "%d", edge);
        sg_field_read(sg_field_find(SG_KIND_STOCK, "edge"), &shop.shop, text, &out);
        accepted += out.state == SG_PARSE_WHOLE;
    }
    test_shop_free(&shop);
    return accepted;
}

/* ---- garnet ---- */

COMPUTED(gar_04, fresh_setup(NULL).bore / sg_fresh_heads[0].orifice)

static double gar_06(void)
{
    double flow = sg_jet_flow(ksi(55), typed("0.014 in", SG_DIM_LENGTH), 0.70);
    return sg_loading_ratio(typed("0.75 lb/min", SG_DIM_GARNET_FEED), flow);
}

static double gar_07(void)
{
    double flow = sg_jet_flow(ksi(50), typed("0.013 in", SG_DIM_LENGTH), 0.70);
    return sg_loading_ratio(typed("1 lb/min", SG_DIM_GARNET_FEED), flow);
}

/* A part that takes an hour of jet, planned; lb of garnet. */
static double gar_10(void)
{
    static struct test_shop shop;
    struct sg_planner *planner = sg_planner_new();
    const struct sg_plan *plan;
    test_shop_make(&shop);
    shop.heads[0].garnet = typed("0.75 lb/min", SG_DIM_GARNET_FEED);
    test_shop_job(&shop, 0);
    test_shop_stock(&shop, 0, 10)->feed = 100;
    test_shop_part(&shop, 1, 6000, 100, 100)->pierces = 0;
    ck_assert_int_eq(sg_plan_shift(planner, &shop.shop, 0, &plan, NULL), SG_OK);
    double pounds = in_unit(plan->totals.garnet, "lb");
    sg_planner_free(planner);
    test_shop_free(&shop);
    return pounds;
}

/* ---- sheets ---- */

static double us_sheet(const char *length, double density)
{
    return sg_sheet_mass(typed(length, SG_DIM_LENGTH), typed("48 in", SG_DIM_LENGTH),
                         typed("1/4 in", SG_DIM_LENGTH), density);
}

COMPUTED(sht_01, us_sheet("96 in", 7850))
COMPUTED(sht_02, us_sheet("96 in", 2700))
COMPUTED(sht_03, us_sheet("120 in", 8000))
COMPUTED(sht_04, sg_sheet_mass(3000, 1500, 10, 7850))
COMPUTED(sht_05, sg_sheet_mass(2000, 1000, 6, 2400))
COMPUTED(sht_07, in_unit(sht_01(), "lb"))
COMPUTED(sht_09, typed("120 in", SG_DIM_LENGTH))
COMPUTED(saf_15, 1000 * sg_sheet_mass(1000, 1.1, 6.35, 2700))

/* ---- the trade's habits ---- */

static double trd_01(void)
{
    char text[32];
    sg_number_format(0.127, sg_unit_find("in", 2), 6, text, sizeof text);
    return strtod(text, NULL);
}

COMPUTED(trd_02, typed("0.005 in", SG_DIM_LENGTH))

static const struct sg_material steel = {.machinability = 87.6, .source = ""},
                                glass = {.machinability = 596, .source = ""};
COMPUTED(trd_17, fresh_setup(&steel).garnet / fresh_setup(&glass).garnet)
COMPUTED(trd_21, typed("1 lb/ft2", SG_DIM_AREAL))

static double trd_22(void)
{
    struct sg_reading how = {.dimension = SG_DIM_MASS, .bag_kg = typed("55 lb", SG_DIM_MASS)};
    struct sg_parsed bag;
    sg_number_parse("1 bag", &how, &bag);
    return typed("900 lb", SG_DIM_MASS) / bag.value;
}

/* Pieces of a minute each until the first refill is due; hours. */
static double trd_23(void)
{
    struct sg_calendar calendar = {.close_s = 8 * 3600};
    struct sg_machine machine = sg_fresh_machine;
    struct sg_batch batch = {.cuts = 2000, .cut = 60};
    struct sg_sheets sheets = {.n = 1, .copies = 1};
    struct sg_run_input input = {.calendar = &calendar,
                                 .run_in_breaks = true,
                                 .machine = &machine,
                                 .heads = sg_fresh_heads,
                                 .n_heads = 2,
                                 .batches = &batch,
                                 .sheets = &sheets,
                                 .n_sheets = 1};
    struct sg_run run = {0};
    double at = (double)NAN;
    machine.hopper = machine.hopper_level = typed("900 lb", SG_DIM_MASS);
    machine.low_line = 0;
    batch.garnet = typed("0.75 lb", SG_DIM_MASS);
    struct sg_head heads[2] = {sg_fresh_heads[0], sg_fresh_heads[1]};
    heads[0].tube_life = heads[0].orifice_life = (double)NAN;
    input.heads = heads;
    sg_run_simulate(&input, &run);
    for (int32_t i = run.n_events - 1; i >= 0; i--)
        if (run.events[i].kind == SG_EVENT_REFILL)
            at = run.events[i].at;
    sg_run_free(&run);
    return at / 3600;
}

static double steel_load(double height)
{
    return sg_slat_load(height, 7850);
}

COMPUTED(trd_24, solve(steel_load, typed("400 lb/ft2", SG_DIM_AREAL), 0, 10000))

/* One piece whose far edge and margin reach 118 in. */
static double trd_25(void)
{
    return (double)sg_index_moves(typed("118 in", SG_DIM_LENGTH), typed("48 in", SG_DIM_LENGTH));
}

/* ---- the table and the file ---- */

static const struct {
    const char *id;
    double (*compute)(void);
} rows[] = {
    {"ORF-01", orf_01}, {"ORF-02", orf_02}, {"ORF-03", orf_03}, {"ORF-06", orf_06}, {"ORF-07", orf_07},
    {"ORF-08", orf_08}, {"ORF-09", orf_09}, {"ORF-10", orf_10}, {"ORF-12", orf_12}, {"ORF-13", orf_13},
    {"ORF-14", orf_14}, {"ORF-15", orf_15}, {"ORF-16", orf_16}, {"ORF-18", orf_18}, {"ORF-19", orf_19},
    {"ORF-21", orf_21}, {"CMP-07", cmp_07}, {"CMP-09", cmp_09}, {"CMP-10", cmp_10}, {"CMP-12", cmp_12},
    {"CMP-13", cmp_13}, {"CMP-14", cmp_14}, {"ZK-01", zk_01},   {"ZK-03", zk_03},   {"ZK-04", zk_04},
    {"ZK-05", zk_05},   {"ZK-06", zk_06},   {"ZK-08", zk_08},   {"ZK-09", zk_09},   {"ZK-11", zk_11},
    {"ZK-13", zk_13},   {"ZK-14", zk_14},   {"ZK-16", zk_16},   {"ZK-19", zk_19},   {"ZK-22", zk_22},
    {"ZK-23", zk_23},   {"ZK-25", zk_25},   {"ENE-01", ene_01}, {"ENE-02", ene_02}, {"ENE-04", ene_04},
    {"ENE-05", ene_05}, {"MEA-01", mea_01}, {"MEA-03", mea_03}, {"MEA-04", mea_04}, {"MEA-05", mea_05},
    {"MEA-18", mea_18}, {"GAR-04", gar_04}, {"GAR-06", gar_06}, {"GAR-07", gar_07}, {"GAR-10", gar_10},
    {"QLT-01", qlt_01}, {"SHT-01", sht_01}, {"SHT-02", sht_02}, {"SHT-03", sht_03}, {"SHT-04", sht_04},
    {"SHT-05", sht_05}, {"SHT-07", sht_07}, {"SHT-09", sht_09}, {"SAF-15", saf_15}, {"TRD-01", trd_01},
    {"TRD-02", trd_02}, {"TRD-17", trd_17}, {"TRD-21", trd_21}, {"TRD-22", trd_22}, {"TRD-23", trd_23},
    {"TRD-24", trd_24}, {"TRD-25", trd_25},
};

enum { ROWS = (int)(sizeof rows / sizeof *rows), COLUMNS = 8 };
enum { ID, QUANTITY, INPUTS, VALUE, UNIT, TOLERANCE, SOURCE, BASIS };

/* Split a CSV line in place; cells may be quoted. The number of cells. */
static int split(char *line, char *cells[COLUMNS])
{
    int n = 0;
    for (char *from = line; from && n < COLUMNS;) {
        bool quoted = *from == '"';
        char *to = cells[n++] = from += quoted;
        while (*from && (quoted ? *from != '"' || from[1] == '"' : *from != ',' && *from != '\n')) {
            from += quoted && *from == '"';
            *to++ = *from++;
        }
        from += quoted && *from == '"';
        char *next = *from == ',' ? from + 1 : NULL;
        *to = '\0';
        from = next;
    }
    return n;
}

static bool within(double computed, double value, const char *tolerance)
{
    double by = strchr(tolerance, ':') ? strtod(strchr(tolerance, ':') + 1, NULL) : 0;
    if (strncmp(tolerance, "rel:", 4) == 0)
        return fabs(computed - value) <= by * fabs(value);
    if (strncmp(tolerance, "abs:", 4) == 0)
        return fabs(computed - value) <= by;
    if (strncmp(tolerance, "factor:", 7) == 0)
        return computed >= value / by && computed <= value * by;
    if (strcmp(tolerance, "min") == 0)
        return computed >= value;
    ck_assert_msg(strcmp(tolerance, "max") == 0, "what is the tolerance %s?", tolerance);
    return computed <= value;
}

static int find_row(const char *id)
{
    for (int i = 0; i < ROWS; i++)
        if (strcmp(rows[i].id, id) == 0)
            return i;
    ck_abort_msg("%s has no function", id);
    return -1;
}

START_TEST(every_published_value_is_computed)
{
    char line[2000], *cells[COLUMNS];
    bool seen[ROWS] = {false};
    FILE *file = fopen(FIXTURES "/checks/published.csv", "r");
    ck_assert_ptr_nonnull(file);
    ck_assert_ptr_nonnull(fgets(line, sizeof line, file));
    ck_assert_str_eq(line, "id,quantity,inputs,value,unit,tolerance,source,basis\n");
    while (fgets(line, sizeof line, file)) {
        ck_assert_int_eq(split(line, cells), COLUMNS);
        int row = find_row(cells[ID]);
        double value = strtod(cells[VALUE], NULL), computed = rows[row].compute();
        ck_assert_msg(!seen[row], "%s comes twice", cells[ID]);
        seen[row] = true;
        ck_assert_msg(within(computed, value, cells[TOLERANCE]),
                      "%s, %s (%s): %.9g %s, published %.9g (%s; %s)", cells[ID], cells[QUANTITY],
                      cells[INPUTS], computed, cells[UNIT], value, cells[TOLERANCE], cells[SOURCE]);
    }
    fclose(file);
    for (int i = 0; i < ROWS; i++)
        ck_assert_msg(seen[i], "%s has no row", rows[i].id);
    ck_assert_int_ge(ROWS, 60);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("published");
    TCase *values = tcase_create("values");
    tcase_add_test(values, every_published_value_is_computed);
    suite_add_tcase(suite, values);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
