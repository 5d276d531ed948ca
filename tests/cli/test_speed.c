/* `speed` against the model, worked out here once more with long double from the equations as published or
 * recalled (each named where it is used), in many units of the same inputs. */
#include "cli/json.h"
#include "cli/run.h"

#include <math.h>

static const long double pi = 3.141592653589793238462643383279502884L;
static const long double inch = 25.4L, pound_g = 453.59237L, ksi = 6.894757293168361336722673L;

/* One setup, in the units of the equations: MPa, mm, g/min. */
struct setup {
    long double pressure, low_pressure, orifice, tube, garnet, discharge, thickness, edge, nm;
    long double base, kappa; /* of the pierce */
    bool low;
};

/* The fresh machine's abrasive head: 55 ksi (low 15 ksi), 0.013/0.040 in, 0.7 lb/min, 0.70; a still pierce
 * has t0 = 1.5 s and kappa = 3. */
static struct setup fresh(long double thickness, long double nm)
{
    return (struct setup){.pressure = 55 * ksi,
                          .low_pressure = 15 * ksi,
                          .orifice = 0.013L * inch,
                          .tube = 0.040L * inch,
                          .garnet = 0.7L * pound_g,
                          .discharge = 0.70L,
                          .thickness = thickness,
                          .edge = 3,
                          .nm = nm,
                          .base = 1.5L,
                          .kappa = 3};
}

/* u = [ fa Nm P^1.594 do^1.374 Ma^0.343 / (788 q h dm^0.618) ]^1.15, fa = 1 (recalled: Zeng, Kim & Wallace
 * 1992). */
static long double traverse(const struct setup *s, long double pressure, long double q)
{
    return powl(s->nm * powl(pressure, 1.594L) * powl(s->orifice, 1.374L) * powl(s->garnet, 0.343L) /
                    (788 * q * s->thickness * powl(s->tube, 0.618L)),
                1.15L);
}

/* Q = Cd pi/4 do^2 sqrt(2 P / rho), rho = 1000 kg/m3, as L/min. */
static long double water_l_min(long double pressure, long double orifice, long double discharge)
{
    return discharge * pi / 4 * powl(orifice / 1000, 2) * sqrtl(2 * pressure * 1e6L / 1000) * 60000;
}

/* V = psi sqrt(2 P / rho), psi of Hashish 1989 (recalled) with L = 300 MPa, n = 0.1368. */
static long double velocity_m_s(long double p)
{
    const long double l = 300, n = 0.1368L;
    long double psi = sqrtl(l / (p * (1 - n)) * (powl(1 + p / l, 1 - n) - 1));
    return psi * sqrtl(2 * p * 1e6L / 1000);
}

static void ck_jet(const char *json, long double pressure, long double orifice, long double discharge)
{
    long double water = water_l_min(pressure, orifice, discharge), kw = pressure * water / 60;
    ck_near(json_number(json, "$.water_l_min"), water, 1e-9L);
    ck_near(json_number(json, "$.jet_velocity_m_s"), velocity_m_s(pressure), 1e-9L);
    ck_near(json_number(json, "$.jet_kw"), kw, 1e-9L);
    ck_near(json_number(json, "$.shaft_kw"), kw / 0.90L, 1e-9L); /* the fresh pump's efficiency */
}

/* The figures of an abrasive head; the fresh machine cuts at most at 400 in/min. */
static void ck_setup(const char *json, const struct setup *s)
{
    long double separation = traverse(s, s->pressure, 1), u = traverse(s, s->pressure, s->edge),
                top = 400 * inch;
    long double pierce_speed = s->low ? traverse(s, s->low_pressure, 1) : separation;
    long double feed = u > top ? top : u;
    ck_document(json);
    ck_keys(
        json, "$",
        "traverse_mm_min:number separation_mm_min:number water_l_min:number jet_velocity_m_s:number "
        "jet_kw:number shaft_kw:number loading_ratio:number pierce_s:number garnet_kg_h:number basis:text "
        "assumed:array cautions:array");
    ck_near(json_number(json, "$.traverse_mm_min"), feed, 1e-9L);
    ck_near(json_number(json, "$.separation_mm_min"), separation, 1e-9L);
    ck_near(json_number(json, "$.edge_cut"), powl(separation / feed, 1 / 1.15L), 1e-9L);
    ck_near(json_number(json, "$.pierce_s"), s->base + s->kappa * s->thickness / pierce_speed * 60, 1e-9L);
    ck_near(json_number(json, "$.garnet_kg_h"), s->garnet * 60 / 1000, 1e-9L);
    ck_near(json_number(json, "$.loading_ratio"),
            s->garnet / 1000 / water_l_min(s->pressure, s->orifice, s->discharge), 1e-9L);
    ck_jet(json, s->pressure, s->orifice, s->discharge);
}

START_TEST(the_fresh_head_in_the_materials_of_the_library)
{
    static const struct {
        const char *material;
        double nm;
        char pierce; /* s still, m moving, l low */
    } library[] = {{"steel, mild", 87.6, 's'},  {"stainless 304", 81.9, 's'}, {"aluminium 6061", 213, 's'},
                   {"titanium", 115, 's'},      {"copper", 110, 's'},         {"glass, float", 596, 'l'},
                   {"acrylic", 690, 'l'},       {"polycarbonate", 517, 'm'},  {"granite", 322, 'l'},
                   {"polypropylene", 985, 'm'}, {"cast iron", 121, 's'},      {"alumina", 13, 'l'}};
    for (size_t i = 0; i < sizeof library / sizeof *library; i++)
        for (int k = 0; k < 3; k++) {
            static const double mm[] = {2, 12.7, 60};
            char thickness[40];
            struct setup setup = fresh((long double)mm[k], (long double)library[i].nm);
            setup.low = library[i].pierce == 'l';
            setup.base = setup.low ? 4.5L : 1.5L;
            setup.kappa = setup.low ? 2 : library[i].pierce == 'm' ? 1.5L : 3;
            snprintf(thickness, sizeof thickness, "%.4gmm", mm[k]);
            struct ran ran =
                run("speed", "--material", library[i].material, "--thickness", thickness, "--json", NULL);
            ck_code(ran, 0);
            ck_setup(ran.out, &setup);
            ck_assert_str_eq(json_text(ran.out, "$.basis"), "recalled");
            ck_assert_str_eq(json_text(ran.out, "$.assumed[0]"), "head=abrasive");
            done(&ran);
        }
}
END_TEST

START_TEST(the_same_inputs_in_any_unit_give_the_same_speeds)
{
    /* One setup told in five ways: 1/2 in, 55 ksi, 0.014 and 0.042 in, 0.75 lb/min. */
    static const struct {
        const char *thickness, *pressure, *orifice, *tube, *garnet, *discharge, *top;
    } ways[] = {
        {"12.7mm", "379.21165112425985MPa", "0.3556mm", "1.0668mm", "340.1942775g/min", "0.65",
         "10160mm/min"},
        {"1/2in", "55ksi", "0.014in", "0.042in", "0.75lb/min", "=13/20", "400in/min"},
        {"=1/4in+6.35mm", "55000psi", "0.014", "0.042", "0.75", "0.65", "400"},
        {"1.27 cm", "3792.1165112425985 bar", "14/1000 in", "0.10668cm", "0.3401942775 kg/min", "65/100",
         "10.16 m/min"},
        {"=(3*4.5mm-0.8mm)*1", "=54ksi+1000psi", "0,014in", "=3*0.014in", "20.41165665kg/h", "0,65",
         "=4*100"},
    };
    struct setup setup = fresh(12.7L, 81.9L);
    setup.orifice = 0.014L * inch;
    setup.tube = 0.042L * inch;
    setup.garnet = 0.75L * pound_g;
    setup.discharge = 0.65L;
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        struct ran ran =
            run("speed", "--material", "304", "--thickness", ways[i].thickness, "--pressure",
                ways[i].pressure, "--orifice", ways[i].orifice, "--tube", ways[i].tube, "--garnet",
                ways[i].garnet, "--discharge", ways[i].discharge, "--top-feed", ways[i].top, "--edge", "3",
                "--head", "abrasive", "--pierce", "still", "--stack", "1", "--heads", "1", "--json", NULL);
        ck_code(ran, 0);
        ck_setup(ran.out, &setup);
        ck_assert_int_eq(json_count(ran.out, "$.assumed"), 0);
        ck_assert(strchr(ways[i].orifice, ',') == NULL || strstr(ran.err, "read as 0.014") != NULL);
        done(&ran);
    }
}
END_TEST

START_TEST(a_bare_number_is_in_the_units_asked_for)
{
    struct setup setup = fresh(12.7L, 87.6L);
    setup.pressure = 380;
    setup.orifice = 0.33L;
    setup.tube = 1;
    setup.garnet = 300;
    struct ran ran =
        run("speed", "--material", "steel", "--units", "metric", "--thickness", "12.7", "--pressure", "380",
            "--orifice", "0.33", "--tube", "1", "--garnet", "300", "--json", NULL);
    ck_code(ran, 0);
    ck_setup(ran.out, &setup);
    done(&ran);
    setup = fresh(0.5L * inch, 87.6L);
    ran = run("speed", "--material", "steel", "--thickness", "1/2", "--json", NULL);
    ck_setup(ran.out, &setup);
    done(&ran);
    ck_done("new", "--units", "metric", "shop.db");
    setup = fresh(0.5L, 87.6L);
    ran = run("speed", "-f", "shop.db", "--material", "steel", "--thickness", "1/2", "--json", NULL);
    ck_setup(ran.out, &setup);
    done(&ran);
}
END_TEST

START_TEST(edges_between_the_digits_and_by_their_word)
{
    static const struct {
        const char *typed;
        double edge;
    } edges[] = {{"1", 1},          {"2.5", 2.5},  {"4.75", 4.75}, {"5", 5},    {"5/2", 2.5},
                 {"separation", 1}, {"coarse", 2}, {"medium", 3},  {"fine", 4}, {"finest", 5}};
    for (size_t i = 0; i < sizeof edges / sizeof *edges; i++) {
        struct setup setup = fresh(20, 110);
        setup.edge = (long double)edges[i].edge;
        struct ran ran = run("speed", "--material", "copper", "--thickness", "20mm", "--edge", edges[i].typed,
                             "--json", NULL);
        ck_code(ran, 0);
        ck_setup(ran.out, &setup);
        done(&ran);
    }
    ck_refused(3, "1 to 5", "speed", "--material", "copper", "--thickness", "20mm", "--edge", "0.9");
    ck_refused(3, "1 to 5", "speed", "--material", "copper", "--thickness", "20mm", "--edge", "5.1");
    ck_refused(3, "1 to 5", "speed", "--material", "copper", "--thickness", "20mm", "--edge", "rough");
}
END_TEST

START_TEST(a_machinability_stands_for_a_material)
{
    struct setup setup = fresh(10, 123.4L);
    struct ran ran = run("speed", "--machinability", "123.4", "--thickness", "10mm", "--json", NULL);
    ck_code(ran, 0);
    ck_setup(ran.out, &setup);
    done(&ran);
    ran = run("speed", "--machinability", "123.4", "--material", "glass", "--thickness", "10mm", "--pierce",
              "still", "--json", NULL);
    ck_setup(ran.out, &setup);
    done(&ran);
}
END_TEST

START_TEST(every_way_to_pierce)
{
    static const struct {
        const char *word;
        double base, kappa;
        bool low;
    } ways[] = {{"still", 1.5, 3, false},
                {"moving", 1.5, 1.5, false},
                {"low", 4.5, 2, true},
                {"drilled", 0.5, 0, false}};
    for (int i = 0; i < 4; i++) {
        struct setup setup = fresh(9, 115);
        setup.base = (long double)ways[i].base;
        setup.kappa = (long double)ways[i].kappa;
        setup.low = ways[i].low;
        setup.low_pressure = 110;
        struct ran ran = run("speed", "--material", "titanium", "--thickness", "9mm", "--pierce",
                             ways[i].word, "--low-pressure", "110MPa", "--json", NULL);
        ck_code(ran, 0);
        ck_setup(ran.out, &setup);
        ck_assert_str_eq(json_text(ran.out, "$.pierce_basis"), "estimate");
        done(&ran);
    }
}
END_TEST

/* u = Pj / (eA h), Pj in W, eA in J/mm2 (an estimate of the library), the same for every edge; a pierce is
 * 0.5 s + h/u. The water head: 55 ksi, 0.006 in, 0.70. */
START_TEST(a_water_head_cuts_by_energy)
{
    static const struct {
        const char *material;
        double energy, mm;
    } soft[] = {
        {"neoprene", 6, 6.35}, {"foam, polyethylene", 0.2, 100}, {"foam, EVA", 0.5, 30}, {"leather", 8, 3}};
    for (int i = 0; i < 4; i++) {
        char thickness[40];
        snprintf(thickness, sizeof thickness, "%.4g mm", soft[i].mm);
        struct ran ran =
            run("speed", "--material", soft[i].material, "--thickness", thickness, "--json", NULL);
        long double watt = 55 * ksi * water_l_min(55 * ksi, 0.006L * inch, 0.70L) / 60 * 1000;
        long double u = watt / (long double)(soft[i].energy * soft[i].mm) * 60, top = 400 * inch;
        ck_code(ran, 0);
        ck_document(ran.out);
        ck_jet(ran.out, 55 * ksi, 0.006L * inch, 0.70L);
        ck_near(json_number(ran.out, "$.traverse_mm_min"), u > top ? top : u, 1e-9L);
        ck_near(json_number(ran.out, "$.separation_mm_min"), u > top ? top : u, 1e-9L);
        ck_near(json_number(ran.out, "$.pierce_s"), 0.5L + (long double)soft[i].mm / (u > top ? top : u) * 60,
                1e-9L);
        ck_assert(json_number(ran.out, "$.garnet_kg_h") == 0);
        ck_assert_str_eq(json_type(ran.out, "$.loading_ratio"), "null");
        ck_assert_str_eq(json_text(ran.out, "$.basis"), "estimate");
        ck_assert_int_eq(json_count(ran.out, "$.cautions"), 0);
        done(&ran);
    }
}
END_TEST

START_TEST(heads_and_sheets_multiply)
{
    struct setup setup = fresh(18, 87.6L); /* three sheets of 6 mm */
    struct ran ran =
        run("speed", "--material", "steel", "--thickness", "6mm", "--stack", "3", "--json", NULL);
    ck_setup(ran.out, &setup);
    done(&ran);
    setup = fresh(6, 87.6L);
    ran = run("speed", "--material", "steel", "--thickness", "6mm", "--heads", "2", "--json", NULL);
    ck_near(json_number(ran.out, "$.traverse_mm_min"), traverse(&setup, setup.pressure, 3), 1e-9L);
    ck_near(json_number(ran.out, "$.garnet_kg_h"), 2 * setup.garnet * 60 / 1000, 1e-9L);
    ck_near(json_number(ran.out, "$.water_l_min"), 2 * water_l_min(setup.pressure, setup.orifice, 0.70L),
            1e-9L);
    ck_assert_int_eq(cautions_of(ran.out, "pump_flow"), 1);
    ck_assert_int_eq(cautions_of(ran.out, "pump_power"), 1);
    done(&ran);
}
END_TEST

START_TEST(cautions_come_where_they_apply)
{
    static const struct {
        const char *option, *value, *caution;
    } odd[] = {{"--pressure", "60ksi", "pump_pressure"},  {"--pressure", "100MPa", "outside_range"},
               {"--garnet", "900g/min", "loading_ratio"}, {"--tube", "1.6mm", "tube_ratio"},
               {"--orifice", "0.5mm", "pump_flow"},       {"--head", "water", "water_no"}};
    for (size_t i = 0; i < sizeof odd / sizeof *odd; i++) {
        struct ran ran = run("speed", "--material", "steel", "--thickness", "12mm", odd[i].option,
                             odd[i].value, "--json", NULL);
        ck_code(ran, 0);
        ck_assert_msg(cautions_of(ran.out, odd[i].caution) == 1, "%s %s: %s", odd[i].option, odd[i].value,
                      ran.out);
        ck_keys(ran.out, "$.cautions[0]", "code:text where:text text:text");
        done(&ran);
    }
    struct ran ran = run("speed", "--material", "steel", "--thickness", "12mm", "--json", NULL);
    ck_assert_int_eq(json_count(ran.out, "$.cautions"), 0);
    done(&ran);
    ran =
        run("speed", "--material", "foam, EVA", "--head", "abrasive", "--thickness", "12mm", "--json", NULL);
    ck_assert_str_eq(json_type(ran.out, "$.traverse_mm_min"), "null");
    ck_assert_int_eq(cautions_of(ran.out, "abrasive_soft"), 1);
    ck_assert_int_eq(cautions_of(ran.out, "no_speed"), 1);
    done(&ran);
    ran = run("speed", "--material", "steel", "--thickness", "12mm", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "traverse");
    ck_says(ran.out, "in/min  recalled");
    ck_says(ran.out, "assumed head=abrasive");
    done(&ran);
}
END_TEST

START_TEST(what_is_missing_or_bad_is_said)
{
    ck_refused(2, "--material NAME or --machinability N", "speed", "--thickness", "5mm");
    ck_refused(2, "needs --thickness", "speed", "--material", "steel");
    ck_refused(2, "abrasive or water", "speed", "--material", "steel", "--thickness", "5mm", "--head",
               "laser");
    ck_refused(2, "usage: sandglass speed", "speed", "--material", "steel", "--thickness", "5mm", "extra");
    ck_refused(3, "--material unobtainium: ", "speed", "--material", "unobtainium", "--thickness", "5mm");
    ck_refused(3, "foam, polyurethane", "speed", "--material", "foam", "--thickness", "5mm");
    static const char *const bad[][2] = {
        {"--thickness", "0"},
        {"--thickness", "-1mm"},
        {"--thickness", "nan"},
        {"--thickness", "1e309"},
        {"--thickness", ""},
        {"--thickness", "5 kg"},
        {"--thickness", "1,200 mm"},
        {"--thickness", "none"},
        {"--pressure", "0"},
        {"--pressure", "inf"},
        {"--orifice", "0mm"},
        {"--tube", "x"},
        {"--garnet", "0"},
        {"--garnet", "none"},
        {"--discharge", "1.1"},
        {"--discharge", "0"},
        {"--heads", "0"},
        {"--heads", "1.5"},
        {"--stack", "0"},
        {"--top-feed", "0"},
        {"--pierce", "quickly"},
        {"--machinability", "0"},
        {"--machinability", "-3"},
        {"--edge", "6"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        bool thickness = strcmp(bad[i][0], "--thickness") == 0;
        struct ran ran = run("speed", "--material", "steel", bad[i][0], bad[i][1],
                             thickness ? NULL : "--thickness", "5mm", NULL);
        ck_assert_msg(ran.code == 3, "%s %s: exit %d", bad[i][0], bad[i][1], ran.code);
        ck_says(ran.err, bad[i][0]);
        ck_assert_str_eq(ran.out, "");
        done(&ran);
    }
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, the_fresh_head_in_the_materials_of_the_library);
    tcase_add_test(tcase, the_same_inputs_in_any_unit_give_the_same_speeds);
    tcase_add_test(tcase, a_bare_number_is_in_the_units_asked_for);
    tcase_add_test(tcase, edges_between_the_digits_and_by_their_word);
    tcase_add_test(tcase, a_machinability_stands_for_a_material);
    tcase_add_test(tcase, every_way_to_pierce);
    tcase_add_test(tcase, a_water_head_cuts_by_energy);
    tcase_add_test(tcase, heads_and_sheets_multiply);
    tcase_add_test(tcase, cautions_come_where_they_apply);
    tcase_add_test(tcase, what_is_missing_or_bad_is_said);
}

int main(void)
{
    return run_suite("speed", fill);
}
