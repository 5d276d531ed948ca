/* Every caution comes with its cause, and its sentence holds its figures. */
#include "core/cautioned.h"
#include "support/suite.h"

static void heavy_sheet(void)
{
    stock->sheet_length = 2438.4;
    stock->sheet_width = 1219.2;
}

static const struct sg_caution *find(int code)
{
    for (int32_t i = 0; i < plan->n_cautions; i++)
        if (plan->cautions[i].code == code)
            return &plan->cautions[i];
    return NULL;
}

static void no_material(void)
{
    stock->material = SG_UNKNOWN;
}

static void no_thickness(void)
{
    stock->thickness = UNKNOWN;
}

static void no_length(void)
{
    part->cut_length = UNKNOWN;
}

static void no_box(void)
{
    part->width = UNKNOWN;
}

static void no_sheet(void)
{
    stock->sheet_width = UNKNOWN;
}

static void does_not_fit(void)
{
    part->length = 2540;
}

static void many_sheets(void)
{
    part->length = 600; /* one on a sheet */
    part->width = 400;
    part->quantity = 12345;
    stock->load = stock->first_check = 0;
}

static void wide_sheet(void)
{
    stock->sheet_length = stock->sheet_width = 2540;
}

static void wide_remnants(void)
{
    stock->remnants.n = 3;
    for (int i = 0; i < 3; i++) {
        stock->remnants.at[i][0] = 1000 * (i + 1); /* 1000, 2000 and 3000 by 800, 1600 and 2400 */
        stock->remnants.at[i][1] = 800 * (i + 1);
        stock->remnants.at[i][2] = i + 1;
    }
}

static void heavy(void)
{
    stock->stack = 30; /* 300 mm x 7.85 = 2355 kg/m2 = 482.3 lb/ft2 */
    shop->machine.z_travel = 500;
}

static void high(void)
{
    stock->stack = 21;
}

static void water_on_steel(void)
{
    stock->head = 1;
}

static void garnet_on_foam(void)
{
    stock->material = 3;
    stock->head = 0;
}

/* A typed feed, and no machinability number to time a pierce by. */
static void feed_only(void)
{
    test.materials[0].machinability = UNKNOWN;
    stock->feed = 300;
}

static void fast(void)
{
    stock->feed_override = 4;
}

static void above_top_feed(void)
{
    stock->feed = 25.4 * 500;
}

static void thin(void)
{
    stock->thickness = 1;
}

static void much_garnet(void)
{
    test.heads[0].garnet = 1000;
}

static void wide_tube(void)
{
    test.heads[0].tube = test.heads[0].orifice * 5;
}

static void small(void)
{
    part->length = part->width = 50.8;
}

/* Of the two columns of pieces the second lies from 312.7 to 612.7 mm. */
static void short_table(void)
{
    shop->machine.table_length = 400;
}

static void short_life(void)
{
    test.heads[0].tube_life = 60;
}

static void low_hopper(void)
{
    shop->machine.hopper_level = shop->machine.low_line + 0.1;
}

static void no_bags(void)
{
    low_hopper();
    shop->machine.bags_in_stock = 0;
}

static void tiny_hopper(void)
{
    shop->machine.hopper = shop->machine.hopper_level = 0.5;
    shop->machine.low_line = 0.1;
    shop->machine.bag = 0;
}

static void big_bag(void)
{
    low_hopper();
    shop->machine.hopper = 50;
    shop->machine.bag = 45;
}

static void short_gaps(void)
{
    test.shifts[0].run_in_breaks = 0;
    test.shifts[0].calendar.close_s = 500;
    test_shop_break(&test, 400, 450);
    stock->load = 60;
    stock->feed = 300;
    stock->pierce_seconds = 0;
    part->pierces = 0;
    part->cut_length = 2500; /* 500 s */
}

static void late(void)
{
    shop->jobs[0].due_epoch = 1.8e9;
}

static void closed_day(void)
{
    test.shifts[0].date = test.shifts[0].closed_days[0] = 20000;
    test.shifts[0].n_closed_days = 1;
}

static void other_sheet_on(void)
{
    test.shifts[0].sheet_on = "Z/1";
}

static void old_reading(void)
{
    test.shifts[0].date = 20000;
    shop->machine.hopper_read = 20000 * INT64_C(86400) - 3 * 86400 + 6 * 3600;
}

static void full_tank(void)
{
    shop->machine.sludge = 1000;
    shop->machine.clean_out = 900;
}

static void few_bags(void)
{
    shop->machine.reorder = 50;
}

static void late_service(void)
{
    static struct sg_chore chore;
    chore = sg_fresh_chore;
    chore.when = SG_CHORE_DUE;
    chore.every = 400 * 3600.0;
    chore.hours = 412 * 3600.0;
    shop->chores = &chore;
    shop->n_chores = 1;
}

static void late_day(void)
{
    late_service();
    shop->chores[0].counts = SG_COUNTS_CALENDAR;
    shop->chores[0].every = UNKNOWN;
    shop->chores[0].every_days = 7;
    shop->shifts[0].date = 20000;
    shop->chores[0].last = 20000 - 9;
}

static void hydrogen(void)
{
    hazard(SG_HAZARD_HYDROGEN);
}

static void beryllium(void)
{
    hazard(SG_HAZARD_BERYLLIUM);
}

static void toxic(void)
{
    hazard(SG_HAZARD_TOXIC);
}

static void brittle(void)
{
    hazard(SG_HAZARD_BRITTLE);
}

static void tempered(void)
{
    hazard(SG_HAZARD_TEMPERED);
}

static void laminate(void)
{
    hazard(SG_HAZARD_LAMINATE);
}

static void verify(void)
{
    hazard(SG_HAZARD_VERIFY);
}

static void worn(void)
{
    test.heads[0].tube_hours = test.heads[0].tube_life;
}

static void a_break(void)
{
    test_shop_break(&test, 600, 605);
}

static void nothing(void)
{
}

static const struct {
    int code;
    void (*cause)(void);
    int kind;
    const char *us, *metric; /* what the sentence holds */
} cases[] = {
    {SG_CAUTION_NO_MATERIAL, no_material, SG_KIND_STOCK, "set material", "set material"},
    {SG_CAUTION_NO_THICKNESS, no_thickness, SG_KIND_STOCK, "set thickness", "set thickness"},
    {SG_CAUTION_NO_LENGTH, no_length, SG_KIND_PART, "cut_length", "cut_length"},
    {SG_CAUTION_NO_BOX, no_box, SG_KIND_PART, "width", "width"},
    {SG_CAUTION_NO_SHEET, no_sheet, SG_KIND_STOCK, "sheet_width", "sheet_width"},
    {SG_CAUTION_DOES_NOT_FIT, does_not_fit, SG_KIND_PART, "100.0 in x 7.874 in", "2540.0 mm x 200.0 mm"},
    {SG_CAUTION_SHEETS_SHORT, many_sheets, SG_KIND_STOCK, "12345 sheets are needed, 1 is on hand",
     "12345 sheets"},
    {SG_CAUTION_SHEET_OFF_TABLE, wide_sheet, SG_KIND_STOCK, "100.0 in is wider than the table of 60.0 in",
     "1524.0 mm"},
    {SG_CAUTION_REMNANT_OFF_TABLE, wide_remnants, SG_KIND_STOCK,
     "5 remnants are wider than the table of 60.0 in, as they would lie", "1524.0 mm"},
    {SG_CAUTION_OVER_SLAT_LOAD, heavy, SG_KIND_STOCK, "482.3 lb/ft2, they carry 350.0 lb/ft2",
     "2355.0 kg/m2"},
    {SG_CAUTION_OVER_Z_TRAVEL, high, SG_KIND_STOCK, "8.268 in of material, the head lifts over 8.000 in",
     "210.0 mm"},
    {SG_CAUTION_WATER_NO, water_on_steel, SG_KIND_STOCK, "garnet", "garnet"},
    {SG_CAUTION_ABRASIVE_SOFT, garnet_on_foam, SG_KIND_STOCK, "water head", "water head"},
    {SG_CAUTION_NO_SPEED, water_on_steel, SG_KIND_STOCK, "no speed", "no speed"},
    {SG_CAUTION_NO_PIERCE, feed_only, SG_KIND_PART, "pierce_seconds", "pierce_seconds"},
    {SG_CAUTION_WILL_NOT_CUT, fast, SG_KIND_STOCK, "in/min", "mm/min"},
    {SG_CAUTION_TOP_FEED, above_top_feed, SG_KIND_STOCK, "500.0 in/min is above the machine's 400.0 in/min",
     "12700.0"},
    {SG_CAUTION_OUTSIDE_RANGE, thin, SG_KIND_STOCK, "trial cut", "trial cut"},
    {SG_CAUTION_LOADING_RATIO, much_garnet, SG_KIND_HEAD, "0.31", "0.31"},
    {SG_CAUTION_TUBE_RATIO, wide_tube, SG_KIND_HEAD, "is 5 times", "is 5 times"},
    {SG_CAUTION_PUMP_PRESSURE, weak_pump, SG_KIND_HEAD, "55.0 ksi, the pump gives 29.0 ksi", "379.2 MPa"},
    {SG_CAUTION_PUMP_FLOW, weak_pump, SG_KIND_HEAD, "0.528 gpm", "2.000 L/min"},
    {SG_CAUTION_PUMP_POWER, weak_pump, SG_KIND_HEAD, "13.4 hp", "10.0 kW"},
    {SG_CAUTION_SMALL_PART, small, SG_KIND_PART, "2.000 in is below the slat pitch of 4.000 in", "50.8 mm"},
    {SG_CAUTION_CROSSES_INDEX, short_table, SG_KIND_PART, "2 cuts", "2 cuts"},
    {SG_CAUTION_WEAR_IN_SHEET, short_life, SG_KIND_STOCK, "0:01:00", "0:01:00"},
    {SG_CAUTION_OUT_OF_GARNET, no_bags, SG_KIND_PART, "1 bag", "1 bag"},
    {SG_CAUTION_STOPS_IN_CUT, tiny_hopper, SG_KIND_PART, "lb of garnet", "a full hopper gives 0.400 kg"},
    {SG_CAUTION_PART_BAG, big_bag, SG_KIND_PART, "part of a bag", "part of a bag"},
    {SG_CAUTION_LONG_PIECE, short_gaps, SG_KIND_PART, "0:08:20", "0:08:20"},
    {SG_CAUTION_LATE, late, SG_KIND_JOB, "after its due time", "after its due time"},
    {SG_CAUTION_CLOSED_DAY, closed_day, SG_KIND_SHIFT, "date", "date"},
    {SG_CAUTION_SHEET_ON, other_sheet_on, SG_KIND_SHIFT, "sheet", "sheet"},
    {SG_CAUTION_LEVEL_READ, old_reading, SG_KIND_MACHINE, "72:00", "72:00"},
    {SG_CAUTION_CLEAN_OUT, full_tank, SG_KIND_MACHINE, "lb", "900.0 kg"},
    {SG_CAUTION_ORDER_BAGS, few_bags, SG_KIND_MACHINE, "30", "30"},
    {SG_CAUTION_SERVICE_OVER, late_service, SG_KIND_CHORE, "400:00:00, and 412:00:00", "412"},
    {SG_CAUTION_SERVICE_DAYS, late_day, SG_KIND_CHORE, "due 7 days after the last, which was 9 days ago",
     "9 days"},
    {SG_CAUTION_SILICA, silica, SG_KIND_MATERIAL, "silica", "silica"},
    {SG_CAUTION_HYDROGEN, hydrogen, SG_KIND_MATERIAL, "hydrogen", "hydrogen"},
    {SG_CAUTION_BERYLLIUM, beryllium, SG_KIND_MATERIAL, "beryllium", "beryllium"},
    {SG_CAUTION_TOXIC, toxic, SG_KIND_MATERIAL, "waste", "waste"},
    {SG_CAUTION_BRITTLE, brittle, SG_KIND_STOCK, "crack", "crack"},
    {SG_CAUTION_TEMPERED, tempered, SG_KIND_MATERIAL, "tempered", "tempered"},
    {SG_CAUTION_LAMINATE, laminate, SG_KIND_MATERIAL, "layers", "layers"},
    {SG_CAUTION_VERIFY, verify, SG_KIND_MATERIAL, "doubtful", "doubtful"},
    {SG_CAUTION_GARNET_VESSEL, low_hopper, SG_KIND_MACHINE, "vented", "vented"},
    {SG_CAUTION_HEAVY_BAG, low_hopper, SG_KIND_MACHINE, "a bag of 55.0 lb", "24.9 kg"},
    {SG_CAUTION_HEAVY_SHEET, heavy_sheet, SG_KIND_STOCK, "a sheet weighs", "kg, the heaviest"},
    {SG_CAUTION_LOCK_OUT, worn, SG_KIND_MACHINE, "lock out", "lock out"},
    {SG_CAUTION_UNATTENDED, a_break, SG_KIND_SHIFT, "insurer", "insurer"},
    {SG_CAUTION_JET, nothing, SG_KIND_MACHINE, "hand near the jet", "hand near the jet"},
};

enum { CASES = (int)(sizeof cases / sizeof *cases) };

START_TEST(each_caution_comes_with_its_cause)
{
    cases[_i].cause();
    plan_it();
    const struct sg_caution *caution = find(cases[_i].code);
    ck_assert_msg(caution != NULL, "%s did not come", sg_caution_word(cases[_i].code));
    ck_assert_int_eq(caution->kind, cases[_i].kind);
    says(caution, SG_UNITS_US, cases[_i].us);
    says(caution, SG_UNITS_METRIC, cases[_i].metric);
}
END_TEST

START_TEST(every_code_has_a_case_and_a_word_of_its_own)
{
    for (int code = 0; code < SG_CAUTIONS; code++) {
        int found = 0;
        for (int i = 0; i < CASES; i++)
            found += cases[i].code == code;
        ck_assert_msg(found == 1, "%s has %d cases", sg_caution_word(code), found);
        for (int other = 0; other < code; other++)
            ck_assert_str_ne(sg_caution_word(code), sg_caution_word(other));
    }
}
END_TEST

int main(void)
{
    TCase *tcase = tcase_create("cautions");
    tcase_add_checked_fixture(tcase, open_plain_shop, close_shop);
    tcase_add_loop_test(tcase, each_caution_comes_with_its_cause, 0, CASES);
    tcase_add_test(tcase, every_code_has_a_case_and_a_word_of_its_own);
    return run_case("plan, causes of cautions", tcase);
}
