/* The sheets of plans at random: every piece lies on one and is cut, and what is left over is the largest. */
#include "support/random.h"
#include "support/sheets.h"
#include "support/suite.h"

#include <check.h>
#include <string.h>

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
        stock->clamps.n = random_below(r, 4);
        for (int64_t i = 0; i < stock->clamps.n; i++) {
            stock->clamps.at[i][0] = 1 + random_below(r, 150);
            stock->clamps.at[i][1] = 1 + random_below(r, 90);
            stock->clamps.at[i][2] = random_below(r, 3) ? random_below(r, 2500) : 0;
            stock->clamps.at[i][3] = random_below(r, 3) ? random_below(r, 1500) : 0;
        }
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

static bool lies_across(const struct sg_stock *stock)
{
    double room = test.shop.machine.table_width;
    return stock->sheet_width > room && stock->sheet_length <= room;
}

/* A clamp of a stock as it lies: typed along a sheet that lies across the table. */
static struct place clamp_of(const struct sg_stock *stock, int64_t i)
{
    const double *at = stock->clamps.at[i];
    return lies_across(stock) ? (struct place){at[3], at[2], at[3] + at[1], at[2] + at[0]}
                              : (struct place){at[2], at[3], at[2] + at[0], at[3] + at[1]};
}

static bool is_off_clamps(const struct sg_stock *stock, const struct place *place)
{
    for (int64_t i = 0; i < stock->clamps.n; i++) {
        struct place clamp = clamp_of(stock, i);
        if (nearer(place, &clamp, 0))
            return false;
    }
    return true;
}

/* ---- the largest rectangle left over, by trying all ---- */

enum { MOST_IN_THE_WAY = 40 };

struct in_the_way {
    struct place at[MOST_IN_THE_WAY + SG_MAX_ITEMS]; /* pieces with the gap around them, clamps */
    int64_t n;
    struct place room;
};

static void take_larger(double length, double width, double *area, bool *wide)
{
    bool this_wide = length >= SG_DROP_LEAST && width >= SG_DROP_LEAST;
    if (length <= 0 || width <= 0 || (this_wide == *wide ? length * width <= *area : *wide))
        return;
    *wide = this_wide;
    *area = length * width;
}

/* From x0 to x1: upward from the room's edge and from each that is in the way, to the next. */
static void try_columns(const struct in_the_way *way, double x0, double x1, double *area, bool *wide)
{
    for (int64_t i = -1; i < way->n; i++) {
        double y0 = i < 0 ? way->room.y0 : fmax(way->room.y0, way->at[i].y1), y1 = way->room.y1;
        for (int64_t k = 0; k < way->n; k++)
            if (way->at[k].x0 < x1 - 1e-6 && way->at[k].x1 > x0 + 1e-6 && way->at[k].y1 > y0 + 1e-6)
                y1 = fmin(y1, way->at[k].y0);
        take_larger(x1 - x0, y1 - y0, area, wide);
    }
}

/* Whether what is said to be left over is as large as anything that is. */
static void is_largest(const struct sg_stock *stock, const struct sg_plan_layout *layout,
                       const struct sg_layout_used *used)
{
    const struct sg_layout_sheet *sheet = &layout->sizes[used->size];
    double m = layout->margin, area = 0, said_area = 0;
    bool wide = false, said_wide = false;
    struct in_the_way way = {.room = {m, m, sheet->length - m, sheet->width - m}};
    for (int64_t i = 0; i < used->n_pieces; i++) {
        struct place at = place_of(layout, &layout->placements[used->first + i]);
        way.at[way.n++] = (struct place){at.x0 - layout->gap, at.y0 - layout->gap, at.x1 + layout->gap,
                                         at.y1 + layout->gap};
    }
    for (int64_t i = 0; i < stock->clamps.n; i++)
        way.at[way.n++] = clamp_of(stock, i);
    for (int64_t i = -1; i < way.n; i++)
        for (int64_t k = -1; k < way.n; k++) {
            double x0 = i < 0 ? way.room.x0 : fmax(way.room.x0, way.at[i].x1);
            double x1 = k < 0 ? way.room.x1 : fmin(way.room.x1, way.at[k].x0);
            if (x1 > x0)
                try_columns(&way, x0, x1, &area, &wide);
        }
    take_larger(used->drop_length, used->drop_width, &said_area, &said_wide);
    must(said_wide == wide && fabs(said_area - area) < 1e-3 * (sheet->length + sheet->width),
         "%g x %g is said to be left over, %g mm2 is", used->drop_length, used->drop_width, area);
}

/* Pieces lie inside the margin, off the clamp, off each other and off what is said to be left over. */
static void lie_apart(const struct sg_stock *stock, const struct sg_plan_layout *layout,
                      const struct sg_layout_used *used)
{
    const struct sg_placement *p = layout->placements + used->first;
    struct place drop = {used->drop_x, used->drop_y, used->drop_x + used->drop_length,
                         used->drop_y + used->drop_width};
    bool left = used->drop_length > 0;
    must_hold(!left || inside(&drop, &layout->sizes[used->size], layout->margin));
    must_hold(!left || is_off_clamps(stock, &drop));
    for (int64_t i = 0; i < used->n_pieces; i++) {
        struct place place = place_of(layout, &p[i]);
        must_hold(stock->turn || p[i].turned == lies_across(stock));
        must_hold(inside(&place, &layout->sizes[used->size], layout->margin));
        must_hold(is_off_clamps(stock, &place));
        must_hold(!left || !nearer(&place, &drop, layout->gap));
        for (int64_t k = 0; k < i; k++) {
            struct place other = place_of(layout, &p[k]);
            must_hold(!nearer(&place, &other, layout->gap));
        }
    }
    if (used->n_pieces <= MOST_IN_THE_WAY)
        is_largest(stock, layout, used);
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

int main(void)
{
    TCase *cases = tcase_create("sheets");
    tcase_add_checked_fixture(cases, set_up, close_shop);
    tcase_add_test(cases, every_piece_lies_on_a_sheet_or_is_cut_by_itself);
    tcase_add_test(cases, the_order_of_rows_changes_no_piece);
    return run_case("plan, sheets at random", cases);
}
