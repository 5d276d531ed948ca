/* The sheets of a plan: every piece lies on one and is cut, and what is remembered from plan to plan. */
#include "core/plan_inside.h"
#include "sandglass/ask.h"

#include "support/planned.h"
#include "support/random.h"
#include "support/suite.h"

#include <check.h>
#include <string.h>

static void set_up(void)
{
    open_shop();
    test_shop_job(&test, 0);
}

/* Sheets of 1000 x 500 mm, no gap but the kerf, no margin; a minute to load, a typed feed of 1 m/min. */
static struct sg_stock *add_stock(void)
{
    struct sg_stock *stock = test_shop_stock(&test, 0, 10);
    stock->sheet_length = 1000;
    stock->sheet_width = 500;
    stock->gap = stock->margin = 0;
    stock->feed = 1000;
    stock->pierce_seconds = stock->first_check = 0;
    stock->load = 60;
    return stock;
}

/* A minute a piece. */
static struct sg_part *add_part(int32_t quantity, double length, double width)
{
    struct sg_part *part = test_shop_part(&test, quantity, 1000, length, width);
    part->pierces = 0;
    part->rapid_length = 0;
    return part;
}

static int64_t cut_by_the_run(int32_t part)
{
    int64_t cuts = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        if (plan->run.events[i].kind == SG_EVENT_CUT && plan->batches[plan->run.events[i].batch].part == part)
            cuts += plan->run.events[i].cuts;
    return cuts;
}

static const struct sg_caution *caution(int code)
{
    for (int32_t i = 0; i < plan->n_cautions; i++)
        if (plan->cautions[i].code == code)
            return &plan->cautions[i];
    return NULL;
}

/* ---- by hand ---- */

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

/* ---- at random ---- */

static void random_part(struct random *r)
{
    bool boxed = random_below(r, 8) > 0;
    struct sg_part *part = test_shop_part(&test, (int32_t)random_below(r, 40), 200 + random_below(r, 3000),
                                          boxed ? 30 + random_below(r, 700) : UNKNOWN,
                                          boxed ? 30 + random_below(r, 500) : UNKNOWN);
    part->scrap = (int32_t)random_below(r, 3);
    part->tabs = (int32_t)random_below(r, 2);
}

static void random_stocks(struct random *r)
{
    for (int stocks = 1 + (int)random_below(r, 3); stocks > 0; stocks--) {
        struct sg_stock *stock = test_shop_stock(&test, 0, 2 + random_below(r, 20));
        stock->sheet_length = random_below(r, 6) ? 600 + random_below(r, 5000) : UNKNOWN;
        stock->sheet_width = 400 + random_below(r, 1500);
        stock->gap = random_below(r, 10);
        stock->margin = random_below(r, 15);
        stock->turn = (int32_t)random_below(r, 2);
        stock->stack = 1 + (int32_t)random_below(r, 3);
        stock->remnants.n = random_below(r, 3);
        for (int64_t i = 0; i < stock->remnants.n; i++) {
            stock->remnants.at[i][0] = 200 + random_below(r, 1500);
            stock->remnants.at[i][1] = 200 + random_below(r, 800);
            stock->remnants.at[i][2] = 1 + random_below(r, 4);
        }
        stock->clamps.n = random_below(r, 2);
        stock->clamps.at[0][0] = 80;
        stock->clamps.at[0][1] = 60;
        stock->clamps.at[0][2] = 0;
        stock->clamps.at[0][3] = 100;
        for (int parts = 1 + (int)random_below(r, 6); parts > 0; parts--)
            random_part(r);
    }
}

static void new_shop(struct random *r)
{
    test_shop_free(&test);
    test_shop_make(&test);
    test.shop.machine.table_length = 800 + random_below(r, 3000);
    test.heads[0].tube_life = test.heads[0].orifice_life = UNKNOWN;
    test.shop.machine.bags_in_stock = 1000000;
    test_shop_job(&test, 0);
    random_stocks(r);
}

/* Pieces of a part that lie on sheets, counted from the placements. */
static int64_t laid(const struct sg_plan_layout *layout, int32_t part)
{
    int64_t n = 0;
    for (int32_t i = 0; layout && i < layout->n_used; i++)
        for (int64_t k = 0; k < layout->used[i].n_pieces; k++)
            if (layout->placements[layout->used[i].first + k].part == part)
                n += layout->used[i].copies;
    return n;
}

struct place {
    double x0, y0, x1, y1; /* mm */
};

static bool nearer(const struct place *a, const struct place *b, double gap)
{
    gap -= 1e-4; /* a layout counts in 1/40,000 mm */
    return a->x0 < b->x1 + gap && b->x0 < a->x1 + gap && a->y0 < b->y1 + gap && b->y0 < a->y1 + gap;
}

static struct place place_of(const struct sg_plan_layout *layout, const struct sg_placement *p)
{
    const struct sg_layout_part *box = &layout->boxes[p->part];
    double length = p->turned ? box->width : box->length, width = p->turned ? box->length : box->width;
    return (struct place){p->x, p->y, p->x + length, p->y + width};
}

static bool inside(const struct place *place, const struct sg_layout_sheet *sheet, double margin)
{
    margin -= 1e-4;
    return place->x0 >= margin && place->y0 >= margin && place->x1 <= sheet->length - margin &&
           place->y1 <= sheet->width - margin;
}

/* The clamp of a stock as it lies: typed along a sheet that lies across the table. */
static struct place clamp_of(const struct sg_stock *stock)
{
    const double *at = stock->clamps.at[0], room = test.shop.machine.table_width;
    bool across = stock->sheet_width > room && stock->sheet_length <= room;
    return across ? (struct place){at[3], at[2], at[3] + at[1], at[2] + at[0]}
                  : (struct place){at[2], at[3], at[2] + at[0], at[3] + at[1]};
}

/* Pieces lie inside the margin, off the clamp, off each other and off what is said to be left over. */
static void lie_apart(const struct sg_stock *stock, const struct sg_plan_layout *layout,
                      const struct sg_layout_used *used)
{
    const struct sg_placement *p = layout->placements + used->first;
    struct place clamp = clamp_of(stock),
                 drop = {used->drop_x, used->drop_y, used->drop_x + used->drop_length,
                         used->drop_y + used->drop_width};
    bool left = used->drop_length > 0;
    must_hold(!left || inside(&drop, &layout->sizes[used->size], layout->margin));
    must_hold(!left || stock->clamps.n == 0 || !nearer(&drop, &clamp, 0));
    for (int64_t i = 0; i < used->n_pieces; i++) {
        struct place place = place_of(layout, &p[i]);
        must_hold(!p[i].turned || stock->turn);
        must_hold(inside(&place, &layout->sizes[used->size], layout->margin));
        must_hold(stock->clamps.n == 0 || !nearer(&place, &clamp, 0));
        must_hold(!left || !nearer(&place, &drop, layout->gap));
        for (int64_t k = 0; k < i; k++) {
            struct place other = place_of(layout, &p[k]);
            must_hold(!nearer(&place, &other, layout->gap));
        }
    }
}

/* A sheet's batches are its placements, one after another. */
static void same_sheet(const struct sg_sheets *sheets, const struct sg_plan_layout *layout,
                       const struct sg_layout_used *used, int32_t first_part)
{
    const struct sg_placement *p = layout->placements + used->first;
    int64_t k = 0;
    must_hold(sheets->copies == used->copies);
    for (int32_t b = sheets->first; b < sheets->first + sheets->n; b++) {
        const struct sg_batch *batch = &plan->batches[b];
        must_hold(b == sheets->first || batch->moves >= batch[-1].moves);
        for (int64_t i = 0; i < batch->cuts; i++, k++) {
            const struct sg_layout_part *box = &layout->boxes[p[k].part];
            double far = p[k].x + (p[k].turned ? box->width : box->length) + layout->margin;
            double table = test.shop.machine.table_length;
            must_hold(k < used->n_pieces && first_part + p[k].part == batch->part);
            must_hold(far <= table * (batch->moves + 1) * (1 + 1e-9));
            must_hold(batch->moves == 0 || far > table * batch->moves * (1 - 1e-9));
        }
    }
    must_hold(k == used->n_pieces);
}

static int32_t with_remnants; /* stocks seen that use some, so that the test of them is one */

static void check_stock(int32_t index)
{
    const struct sg_stock *stock = &test.shop.stocks[index];
    const struct sg_plan_stock *planned = &plan->stocks[index];
    const struct sg_plan_layout *layout = planned->layout;
    double shares = 0;
    int64_t sheets = 0;
    for (int32_t i = 0; layout && i < layout->n_used; i++) {
        same_sheet(&plan->sheets[planned->first_sheets + i], layout, &layout->used[i], stock->first_part);
        lie_apart(stock, layout, &layout->used[i]);
        sheets += layout->used[i].copies * stock->stack;
    }
    with_remnants += planned->remnants > 0;
    for (int32_t i = 0; i < stock->n_parts; i++) {
        const struct sg_plan_part *part = &plan->parts[stock->first_part + i];
        bool all = laid(layout, i) == part->cuts;
        must_hold(cut_by_the_run(stock->first_part + i) == part->cuts);
        must_hold(all == (sg_known(part->sheets) != 0));
        must_hold(all || planned->sheets == SG_UNKNOWN);
        shares += all ? part->sheets : 0;
    }
    if (planned->sheets == SG_UNKNOWN)
        return;
    must_hold(planned->sheets == sheets && planned->lower_bound <= sheets);
    must(fabs(shares - (double)sheets) <= 1e-9 * (double)(sheets + 1), "the shares sum to %.12g, not %lld",
         shares, (long long)sheets);
}

START_TEST(every_piece_lies_on_a_sheet_or_is_cut_by_itself)
{
    struct random r = {0x9E3779B97F4A7C15u};
    for (int round = 0; round < 400; round++) {
        new_shop(&r);
        plan_it();
        must_hold(plan->run.finished);
        for (int32_t i = 0; i < plan->n_stocks; i++)
            check_stock(i);
    }
    ck_assert_int_gt(with_remnants, 50);
}
END_TEST

/* What a piece takes has nothing to do with where it lies and when it is cut. */
static void same_pieces(const struct sg_plan_part *a, const struct sg_plan_part *b)
{
    must_hold(memcmp(&a->each, &b->each, sizeof a->each) == 0);
    must_hold(memcmp(&a->cut, &b->cut, sizeof a->cut) == 0);
    must_hold(memcmp(&a->pierce, &b->pierce, sizeof a->pierce) == 0);
    must_hold(memcmp(&a->rapid, &b->rapid, sizeof a->rapid) == 0);
    must_hold(memcmp(&a->garnet, &b->garnet, sizeof a->garnet) == 0);
    must_hold(memcmp(&a->mass, &b->mass, sizeof a->mass) == 0 && a->cuts == b->cuts);
}

enum { PARTS = 32 };

START_TEST(the_order_of_rows_changes_no_piece)
{
    struct random r = {31337};
    for (int round = 0; round < 200; round++) {
        struct sg_plan_part before[PARTS];
        int32_t was[PARTS];
        new_shop(&r);
        plan_it();
        must_hold(plan->n_parts <= PARTS);
        memcpy(before, plan->parts, (size_t)plan->n_parts * sizeof *before);
        for (int32_t i = 0; i < plan->n_parts; i++)
            was[i] = i;
        for (int32_t s = 0; s < test.shop.n_stocks; s++) /* shuffled within their stock */
            for (int32_t i = test.shop.stocks[s].n_parts - 1; i > 0; i--) {
                int32_t a = test.shop.stocks[s].first_part + i;
                int32_t b = test.shop.stocks[s].first_part + (int32_t)random_below(&r, (unsigned)i + 1);
                struct sg_part part = test.shop.parts[a];
                int32_t place = was[a];
                test.shop.parts[a] = test.shop.parts[b];
                test.shop.parts[b] = part;
                was[a] = was[b];
                was[b] = place;
            }
        int64_t pieces = plan->totals.pieces;
        plan_it();
        for (int32_t i = 0; i < plan->n_parts; i++)
            same_pieces(&plan->parts[i], &before[was[i]]);
        must_hold(pieces == plan->totals.pieces);
    }
}
END_TEST

/* ---- what is remembered ---- */

/* Whether planning lays anything out. */
static bool lays_out(void)
{
    planner->work.looks = -1;
    plan_it();
    return planner->work.looks != -1;
}

START_TEST(only_what_a_layout_depends_on_lays_out_again)
{
    struct sg_stock *stock = add_stock();
    stock->gap = 3; /* more than the kerf of about 1 mm */
    add_part(8, 240, 230);
    ck_assert(lays_out());
    ck_assert(!lays_out());
    test.heads[0].pressure *= 0.9;
    test.shop.stocks[0].edge = 5;
    test.shop.stocks[0].feed = 800;
    test.shop.parts[0].cut_length = 1200;
    test.heads[0].tube *= 1.1; /* the kerf grows and still lies in the gap */
    ck_assert(!lays_out());
    test.heads[0].tube *= 4; /* it binds */
    ck_assert(lays_out());
    test.shop.parts[0].quantity = 9;
    ck_assert(lays_out());
    test.shop.parts[0].width = 200;
    ck_assert(lays_out());
    test.shop.stocks[0].margin = 1;
    ck_assert(lays_out());
    test.shop.stocks[0].sheet_length = 1100;
    ck_assert(lays_out());
    test.shop.machine.table_length = 700; /* the order of cutting */
    ck_assert(lays_out());
    ck_assert(!lays_out());
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
    tcase_add_test(cases, what_fits_on_remnants_alone_is_cut_and_its_sheets_are_not_known);
    tcase_add_test(cases, a_part_without_a_time_stops_only_the_sheets_that_it_lies_on);
    tcase_add_test(cases, every_piece_lies_on_a_sheet_or_is_cut_by_itself);
    tcase_add_test(cases, the_order_of_rows_changes_no_piece);
    tcase_add_test(cases, only_what_a_layout_depends_on_lays_out_again);
    return run_case("plan, sheets", cases);
}
