/* The sheets of a plan: figures by hand. */
#include "sandglass/ask.h"

#include "support/sheets.h"
#include "support/suite.h"

#include <check.h>

static const struct sg_caution *caution(int code)
{
    for (int32_t i = 0; i < plan->n_cautions; i++)
        if (plan->cautions[i].code == code)
            return &plan->cautions[i];
    return NULL;
}

START_TEST(parts_of_a_stock_share_its_sheets)
{
    /* Eight of 240 x 240 and one of 900 x 240: the first eight are a sheet (4 x 2, three kerfs of 1.07 mm
     * fit into the 40 left), with the long one it takes two. Shares by area: 460,800 and 216,000 mm2. */
    add_stock();
    add_part(8, 240, 240);
    add_part(1, 900, 240);
    plan_it();
    ck_assert_int_eq(plan->stocks[0].sheets, 2);
    ck_assert_int_eq(plan->stocks[0].lower_bound, 2);
    ck_assert(fabs(plan->parts[0].sheets - 2 * 460800 / 676800.0) < 1e-12);
    ck_assert(fabs(plan->parts[1].sheets - 2 * 216000 / 676800.0) < 1e-12);
    ck_assert(fabs(plan->stocks[0].layout->utilisation - 676800 / 1e6) < 1e-12);
    ck_assert_int_eq((int)plan->ends, 2 * 60 + 9 * 60);
}
END_TEST

START_TEST(neighbours_share_a_cut_where_all_sides_are_straight)
{
    /* 240 x 240 on 1000 x 500: with a gap of 20, 3 x 2 a sheet; a kerf apart 4 x 2, with 3 x 2 lines of 240
     * shared across and 4 along. */
    struct sg_stock *stock = add_stock();
    stock->gap = 20;
    struct sg_part *part = add_part(8, 240, 240);
    part->cut_length = 4 * 240; /* just round it: nothing inside */
    plan_it();
    ck_assert_int_eq(plan->stocks[0].sheets, 2);
    const double cut = plan->stocks[0].cut;
    stock->common_line = true;
    plan_it();
    ck_assert_int_eq(plan->stocks[0].sheets, 1);
    ck_assert(plan->stocks[0].layout->common);
    ck_assert(fabs(plan->stocks[0].layout->spared - 10 * 240) < 1e-6);
    ck_assert(plan->stocks[0].cut == cut); /* nothing is promised on it */
    part->cut_length = 240 * acos(-1.0);   /* a disc: no side of it is straight */
    plan_it();
    ck_assert_int_eq(plan->stocks[0].sheets, 2);
    ck_assert(!plan->stocks[0].layout->common && plan->stocks[0].layout->spared == 0);
}
END_TEST

START_TEST(a_stack_is_one_load_and_several_sheets)
{
    add_stock()->stack = 3;
    add_part(24, 240, 240); /* eight cuts, one stack of three */
    plan_it();
    ck_assert_int_eq(plan->stocks[0].sheets, 3);
    ck_assert_int_eq(plan->stocks[0].lower_bound, 3);
    ck_assert_int_eq((int)plan->ends, 60 + 8 * 60);
}
END_TEST

START_TEST(remnants_are_used_first_and_are_not_sheets_on_hand)
{
    /* Nine pieces: one on the remnant of 300 x 250, eight on the one whole sheet that is there. A load by
     * mass of 5 min and 1 min for each 100 lb: 0.3 x 0.25 x 0.01 x 7850 = 5.8875 kg, 1 x 0.5: 39.25 kg. */
    struct sg_stock *stock = add_stock();
    stock->sheets = 1;
    stock->load = UNKNOWN;
    stock->remnants.n = 1;
    stock->remnants.at[0][0] = 300;
    stock->remnants.at[0][1] = 250;
    stock->remnants.at[0][2] = 1;
    add_part(9, 240, 240);
    plan_it();
    ck_assert_int_eq(plan->stocks[0].sheets, 2);
    ck_assert_int_eq(plan->stocks[0].remnants, 1);
    ck_assert_ptr_null(caution(SG_CAUTION_SHEETS_SHORT));
    ck_assert(fabs(plan->sheets[0].load - (300 + 60 * 5.8875 / 45.359237)) < 1e-9);
    ck_assert(fabs(plan->sheets[1].load - (300 + 60 * 39.25 / 45.359237)) < 1e-9);
    test.shop.parts[0].quantity = 10; /* one more sheet is not there */
    plan_it();
    ck_assert_ptr_nonnull(caution(SG_CAUTION_SHEETS_SHORT));
    ck_assert(caution(SG_CAUTION_SHEETS_SHORT)->a == 2);
}
END_TEST

START_TEST(a_sheet_that_is_not_full_needs_no_needless_index_move)
{
    /* 300 x 200 on 2438.4 x 1219.2 with gap and margin of 6.35: five lie across the sheet, columns are 306.35
     * wide. Four columns reach 6.35 + 4 x 306.35 = 1231.75 on the table of 1500 mm, five 1538.1. */
    struct sg_stock *stock = add_stock();
    stock->sheet_length = 2438.4;
    stock->sheet_width = 1219.2;
    stock->gap = stock->margin = 6.35;
    test.shop.machine.table_length = 1500;
    add_part(1, 300, 200);
    for (int32_t quantity = 1; quantity <= 20; quantity++) {
        test.shop.parts[0].quantity = quantity;
        plan_it();
        ck_assert_int_eq(plan->stocks[0].index_moves, 0);
        ck_assert_int_eq(plan->stocks[0].sheets, 1);
    }
    /* Of one, not turned, all behind it is left over: 2438.4 - 6.35 - 312.7 = 2119.35 mm of the whole width.
     */
    test.shop.parts[0].quantity = 1;
    test.shop.stocks[0].turn = 0;
    plan_it();
    ck_assert(fabs(plan->stocks[0].drop_length - 2119.35) < 1e-3);
    ck_assert(fabs(plan->stocks[0].drop_width - 1206.5) < 1e-3);
    ck_assert(fabs(plan->stocks[0].drop_mass - 2.11935 * 1.2065 * 0.01 * 7850) < 1e-3);
}
END_TEST

START_TEST(what_is_left_of_interlocking_is_pulled_too)
{
    /* Triangles of 200 x 150, of which 24 and more lie on a sheet: it has three index moves on a table of 300
     * mm. The few on the second lie by themselves at the loading end, and ask for none. */
    add_stock();
    add_drawn((const double[]){0, 0, 200, 0, 0, 150}, 3, 31);
    test.shop.machine.table_length = 300;
    plan_it();
    const struct sg_plan_layout *layout = plan->stocks[0].layout;
    ck_assert(layout->interlocked);
    ck_assert_int_eq(plan->stocks[0].sheets, 2);
    ck_assert_int_eq(plan->stocks[0].index_moves, 3);
    const struct sg_layout_used *used = &layout->used[1];
    for (int64_t i = used->first; i < used->first + used->n_pieces; i++) {
        const struct sg_placement *p = &layout->placements[i];
        ck_assert(p->x + (p->turned ? 150 : 200) <= 300);
    }
    ck_assert(used->drop_length > 650 && used->drop_width > 490); /* behind them */
    sg_outline_free(&outline);
}
END_TEST

START_TEST(the_grain_lies_across_with_the_sheet)
{
    /* A sheet of 1000 x 1500 lies 1500 x 1000 on a table of 1200 mm, and its grain with it: of 900 x 200 mm
     * with no gap but the kerf of 1.07 seven lie side by side; along the table it would be 1 x 4 = 4. */
    struct sg_stock *stock = add_stock();
    test.shop.machine.table_width = 1200;
    stock->sheet_width = 1500;
    stock->turn = false;
    stock->clamps.n = 1;
    stock->clamps.at[0][0] = 50; /* of its length, which is across the table */
    stock->clamps.at[0][1] = 30;
    add_part(7, 900, 200);
    plan_it();
    const struct sg_plan_layout *layout = plan->stocks[0].layout;
    ck_assert_int_eq(plan->stocks[0].sheets, 1);
    ck_assert(layout->across && layout->sizes[0].length == 1500);
    for (int64_t i = 0; i < layout->used[0].n_pieces; i++) {
        const struct sg_placement *p = &layout->placements[i];
        ck_assert(p->turned && (p->x >= 30 || p->y >= 50));
    }
    test.shop.stocks[0].turn = true; /* then each lies as it fits */
    plan_it();
    ck_assert(!plan->stocks[0].layout->across);
}
END_TEST

START_TEST(remnants_lie_as_the_grain_of_the_sheet_does)
{
    /* Both sheet and remnant are turned, so that the part of 900 x 200 lies across on both; a remnant that is
     * longer than the table is wide cannot be, and is left. */
    struct sg_stock *stock = add_stock();
    test.shop.machine.table_width = 1200;
    stock->sheet_width = 1500;
    stock->turn = false;
    stock->remnants.n = 2;
    stock->remnants.at[0][0] = 950;
    stock->remnants.at[0][1] = 250;
    stock->remnants.at[1][0] = 1300;
    stock->remnants.at[1][1] = 950;
    stock->remnants.at[0][2] = stock->remnants.at[1][2] = 1;
    add_part(2, 900, 200);
    plan_it();
    const struct sg_plan_layout *layout = plan->stocks[0].layout;
    ck_assert_int_eq(layout->n_sizes, 2);
    ck_assert(layout->sizes[0].length == 250 && layout->sizes[0].width == 950);
    ck_assert_int_eq(plan->stocks[0].remnants, 1);
    ck_assert_int_eq(plan->stocks[0].sheets, 2);
}
END_TEST

START_TEST(what_fits_on_remnants_alone_is_cut_and_its_sheets_are_not_known)
{
    /* 1500 x 100 lies on the remnant of 2000 x 300, twice; on no whole sheet. All ten are cut none the less.
     */
    struct sg_stock *stock = add_stock();
    stock->remnants.n = 1;
    stock->remnants.at[0][0] = 2000;
    stock->remnants.at[0][1] = 300;
    stock->remnants.at[0][2] = 1;
    add_part(10, 1500, 100);
    plan_it();
    ck_assert_int_eq(cut_by_the_run(0), 10);
    ck_assert_int_eq(plan->stocks[0].sheets, SG_UNKNOWN);
    ck_assert_int_eq(plan->stocks[0].lower_bound, SG_UNKNOWN);
    ck_assert(isnan(plan->parts[0].sheets));
    ck_assert_ptr_nonnull(caution(SG_CAUTION_DOES_NOT_FIT));
    ck_assert_int_eq((int)plan->ends, 2 * 60 + 10 * 60);
}
END_TEST

START_TEST(a_part_without_a_time_stops_only_the_sheets_that_it_lies_on)
{
    struct sg_ask_fits fits;
    add_stock();
    add_part(2, 240, 240);
    add_part(1, UNKNOWN, UNKNOWN)->cut_length = UNKNOWN; /* as a row begins */
    plan_it();
    ck_assert(plan->unknown);
    ck_assert_int_eq(cut_by_the_run(0), 2);
    ck_assert_int_eq(sg_ask_fits(planner, &test.shop, 0, 180, &fits, NULL), SG_OK);
    ck_assert(fits.end == SG_ASK_ENDS && fits.planned_fits && fits.pieces == 2);
    test.shop.parts[1].length = test.shop.parts[1].width = 100; /* now it lies between the others */
    plan_it();
    ck_assert_int_eq(cut_by_the_run(0), 0);
    ck_assert_int_eq(sg_ask_fits(planner, &test.shop, 0, 180, &fits, NULL), SG_OK);
    ck_assert(fits.end == SG_ASK_NOT_TIMED && fits.untimed == 1);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("sheets");
    tcase_add_checked_fixture(cases, set_up, close_shop);
    tcase_add_test(cases, neighbours_share_a_cut_where_all_sides_are_straight);
    tcase_add_test(cases, parts_of_a_stock_share_its_sheets);
    tcase_add_test(cases, a_stack_is_one_load_and_several_sheets);
    tcase_add_test(cases, remnants_are_used_first_and_are_not_sheets_on_hand);
    tcase_add_test(cases, a_sheet_that_is_not_full_needs_no_needless_index_move);
    tcase_add_test(cases, what_is_left_of_interlocking_is_pulled_too);
    tcase_add_test(cases, the_grain_lies_across_with_the_sheet);
    tcase_add_test(cases, remnants_lie_as_the_grain_of_the_sheet_does);
    tcase_add_test(cases, what_fits_on_remnants_alone_is_cut_and_its_sheets_are_not_known);
    tcase_add_test(cases, a_part_without_a_time_stops_only_the_sheets_that_it_lies_on);
    return run_case("plan, sheets", cases);
}
