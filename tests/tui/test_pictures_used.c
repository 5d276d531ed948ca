/* How the sheets are used: what is left over of them, the share of the pieces, stacks and remnants, and
 * whether a longer search takes fewer. */
#include "tui/longer_search.h"
#include "tui/pictures.h"
#include "tui/pieces.h"

#include "exchange/render.h"
#include "tui/do.h"

#include <math.h>

struct edges {
    double at[200];
    int n;
};

/* No piece with the gap around it reaches into the rectangle. */
static bool is_empty(const struct sg_sheet_page *page, double x0, double y0, double x1, double y1)
{
    double gap = page->layout->gap - 1e-4;
    for (int64_t i = 0; i < page->n; i++) {
        struct sg_piece p = sg_sheet_piece(page, i);
        if (p.x - gap < x1 && p.x + p.length + gap > x0 && p.y - gap < y1 && p.y + p.width + gap > y0)
            return false;
    }
    return true;
}

static void add_edge(struct edges *edges, double at)
{
    for (int i = 0; i < edges->n; i++)
        if (fabs(edges->at[i] - at) < 1e-6)
            return;
    must_hold(edges->n < 200);
    edges->at[edges->n++] = at;
}

/* Of all rectangles between the margins of the sheet and pieces, the gap beside them, the largest that is a
 * foot wide at least. */
static double largest_left_over(const struct sg_sheet_page *page)
{
    double margin = page->layout->margin, right = page->length - margin, above = page->width - margin;
    struct edges x = {{margin, right}, 2}, y = {{margin, above}, 2};
    double best = 0;
    for (int64_t i = 0; i < page->n; i++) {
        struct sg_piece p = sg_sheet_piece(page, i);
        add_edge(&x, p.x + p.length + page->layout->gap);
        add_edge(&x, p.x - page->layout->gap);
        add_edge(&y, p.y + p.width + page->layout->gap);
        add_edge(&y, p.y - page->layout->gap);
    }
    for (int a = 0; a < x.n; a++)
        for (int b = 0; b < x.n; b++)
            for (int c = 0; c < y.n; c++)
                for (int d = 0; d < y.n; d++) {
                    double x0 = fmax(margin, x.at[a]), x1 = fmin(right, x.at[b]);
                    double y0 = fmax(margin, y.at[c]), y1 = fmin(above, y.at[d]);
                    if (x1 - x0 >= 300 && y1 - y0 >= 300 && (x1 - x0) * (y1 - y0) > best &&
                        is_empty(page, x0, y0, x1, y1))
                        best = (x1 - x0) * (y1 - y0);
                }
    return best;
}

START_TEST(what_is_left_over_is_the_largest_rectangle)
{
    struct random r = {4};
    int some = 0, none = 0;
    for (int i = 0; i < 120; i++) {
        random_day(&r);
        plan_it();
        for (int32_t job = 0; job < shop.shop.n_jobs; job++) {
            struct sg_sheet_page page;
            if (!sg_sheet_page(&ui.tried, job, random_below(&r, 2) ? 0 : 1000, &page) || !page.known ||
                page.n > 60)
                continue;
            double length = 0, width = 0, best = largest_left_over(&page);
            bool left = sg_is_left_over(page.used);
            length = left ? page.used->drop_length : 0;
            width = left ? page.used->drop_width : 0;
            bool pulled = page.length > shop.shop.machine.table_length; /* then it need not be the largest */
            must(left == (best > 0) || pulled, "%g x %g, but %g mm2", length, width, best);
            must(length * width <= best * (1 + 1e-6) && (pulled || length * width >= best * (1 - 1e-6)),
                 "%g x %g, but %g mm2", length, width, best);
            some += left;
            none += !left;
        }
        teardown();
        memset(&canvas, 0, sizeof canvas);
        setup();
    }
    ck_assert_msg(some > 10 && none > 5, "%d with, %d without", some, none);
}
END_TEST

START_TEST(what_is_left_over_is_shown)
{
    shop.shop.units = SG_UNITS_US;
    test_shop_job(&shop, 0)->id = "2601";
    struct sg_stock *stock = test_shop_stock(&shop, 1, 12.7);
    stock->sheet_length = 96 * 25.4;
    stock->sheet_width = 48 * 25.4;
    stock->gap = stock->margin = 0.25 * 25.4;
    stock->turn = 0;
    test_shop_part(&shop, 1, 900, 8 * 25.4, 6 * 25.4);
    plan_it();
    open_sheet(0);
    draw(&sg_screen_sheet, 16, 80);
    /* All behind the piece that still can be cut: 96 - 0.25 - (0.25 + 8 + 0.25) by 48 - 2 x 0.25 in. */
    ck_assert(is_shown("left 87.2 x 47.5 in"));
    ck_assert(is_shown("  at x 8.5 y 0.25")); /* behind it and the gap, on the margin */
}
END_TEST

/* What is said of it lies in what is free, whatever it is rounded to. */
START_TEST(what_is_left_over_is_said_within_what_is_free)
{
    struct random r = {11};
    for (int i = 0; i < 2000; i++) {
        bool us = i % 2;
        double unit = us ? 25.4 : 1, x, y, a, b;
        struct sg_layout_used used = {.drop_x = 2000 * random_unit(&r),
                                      .drop_y = 1000 * random_unit(&r),
                                      .drop_length = 300 + 2000 * random_unit(&r),
                                      .drop_width = 300 + 1000 * random_unit(&r)};
        char size[80], place[80];
        sg_left_over_words(&used, us ? SG_UNITS_US : SG_UNITS_METRIC, size, place, sizeof size);
        must(sscanf(size, "%lf x %lf", &a, &b) == 2 && strstr(size, us ? " in" : " mm"), "%s", size);
        must(sscanf(place, "x %lf y %lf", &x, &y) == 2, "%s", place);
        must_hold(x * unit >= used.drop_x - 1e-6 && (x + a) * unit <= used.drop_x + used.drop_length + 1e-6);
        must_hold(y * unit >= used.drop_y - 1e-6 && (y + b) * unit <= used.drop_y + used.drop_width + 1e-6);
        double grain = us ? 2.54 : 1; /* and leaves less than two steps out */
        must_hold(a * unit > used.drop_length - 2 * grain && b * unit > used.drop_width - 2 * grain);
    }
}
END_TEST

/* A sheet is used by what is left of it when the pieces are gone, however their boxes overlap. */
START_TEST(a_sheet_is_used_by_the_areas_of_its_pieces)
{
    struct sg_segment sides[] = {{.x1 = 400}, {.x0 = 400, .y1 = 300}, {.y0 = 300}};
    struct sg_outline_how how = {.tolerance = 1e-4};
    struct sg_outline triangle;
    struct sg_error error;
    shop.shop.units = SG_UNITS_METRIC;
    ck_assert(sg_outline_make(&(struct sg_path){sides, 3}, &how, &triangle, &error) == SG_OK);
    test_shop_job(&shop, 0)->id = "2601";
    struct sg_stock *stock = test_shop_stock(&shop, 1, 6);
    stock->sheet_length = 820;
    stock->sheet_width = 620;
    stock->gap = stock->margin = 0;
    stock->interlock = stock->turn = true;
    struct sg_part *part = test_shop_part(&shop, 6, 1200, 400, 300);
    part->outline = test_shop_drawn(&shop, "triangle.dxf", &triangle, false);
    for (int known = 0; known < 2; known++) { /* typed, or that of the outline */
        part->area = known ? 400 * 300 / 2 : (double)NAN;
        const struct sg_plan *plan = plan_it();
        const struct sg_plan_layout *layout = plan->stocks[0].layout;
        must_hold(layout->interlocked && layout->used[0].n_pieces == 6);
        bool by_boxes;
        double share = sg_sheet_used(&shop.shop, 0, layout, &layout->used[0], &by_boxes);
        ck_assert(fabs(share - 6 * 60000 / (820.0 * 620)) < 1e-9 && !by_boxes);
        struct sg_text words = {0};
        sg_layout_words(&words, &shop.shop, plan, 0, 100);
        must(strstr(words.data, "Outlines lie into each other: boxes alone would take 1 sheet more\n"), "%s",
             words.data);
        must(strstr(words.data, "Sheet 1: 6 of A; used 71 % (by areas) of 820 x 620 mm") != NULL, "%s",
             words.data);
        sg_text_free(&words);
        open_sheet(0);
        draw(&sg_screen_sheet, 30, 100);
        ck_assert(is_shown("used 71 % (by areas)"));
    }
    /* Boxes of 400 x 300 lie four on a sheet: one sheet more, in a stack two. */
    stock->stack = 2;
    part->quantity = 12;
    struct sg_text words = {0};
    sg_plan_text(&words, &shop.shop, plan_it());
    must(strstr(words.data, "boxes alone would take 2 more") != NULL, "%s", words.data);
    sg_text_free(&words);
    sg_outline_free(&triangle);
}
END_TEST

/* ---- stacks and remnants ---- */

START_TEST(stacks_and_remnants_are_said)
{
    plain_day();
    shop.shop.units = SG_UNITS_METRIC;
    struct sg_stock *stock = &shop.shop.stocks[0];
    stock->stack = 2;
    stock->remnants.n = 1;
    stock->remnants.at[0][0] = 900;
    stock->remnants.at[0][1] = 600;
    stock->remnants.at[0][2] = 2;
    const struct sg_plan *plan = plan_it();
    ck_assert_int_eq(plan->stocks[0].remnants, 2);
    open_sheet(0);
    draw(&sg_screen_sheet, 30, 100);
    char words[40];
    snprintf(words, sizeof words, "stack 1 of %lld", (long long)sg_sheet_pages(&ui.tried, 0));
    ck_assert_msg(is_shown(words), "no %s", words);
    ck_assert(is_shown("2 sheets at once"));
    ck_assert(is_shown("900 x 600 mm"));
    ck_assert(is_shown("a remnant"));
    sg_screen_sheet.next(&ui, 1);
    draw(&sg_screen_sheet, 30, 100);
    ck_assert(is_shown("2400 x 1200 mm"));
    ck_assert(!is_shown("a remnant"));
    struct sg_text text = {0};
    sg_sheet_text(&text, &shop.shop, plan, 0, 100);
    snprintf(words, sizeof words, ", %lld sheets, 2 of them", (long long)plan->stocks[0].sheets);
    must(strstr(text.data, words) != NULL, "no %s in\n%s", words, text.data);
    must(strstr(text.data, "\nStack 1, each of its 2 sheets: ") != NULL, "%s", text.data);
    must(strstr(text.data, " of a remnant 900 x 600 mm") != NULL, "%s", text.data);
    sg_text_free(&text);
}
END_TEST

/* ---- a longer search ---- */

static void open_page(struct sg_sheet_page *page)
{
    plan_it();
    open_sheet(0);
    ck_assert(sg_sheet_page(&ui.tried, 0, 0, page) && page->known);
}

START_TEST(what_a_search_found_is_forgotten_with_any_change)
{
    struct sg_error error;
    struct sg_longer_search search = {0};
    struct sg_sheet_page page;
    struct sg_outline other = test_plate; /* as a drawing of its own: it cannot be told from the first */
    plain_day();
    struct sg_stock *stock = &shop.shop.stocks[0];
    shop.shop.parts[0].outline = 0;
    stock->interlock = false;
    open_page(&page);
    ck_assert_int_eq(page.layout->sheets, page.layout->lower_bound);
    ck_assert_int_eq(sg_longer_search_of(&ui, &page, &search), SG_NOT_LOOKED);
    ck_assert_int_eq(sg_longer_search(&ui, &page, &search, &error), SG_LEAST_ALREADY);
    open_page(&page);
    ck_assert_int_eq(sg_longer_search_of(&ui, &page, &search), SG_LEAST_ALREADY); /* nothing has changed */
    const struct sg_stock as_typed = *stock;
    struct sg_stock changed[6];
    for (int i = 0; i < 6; i++)
        changed[i] = as_typed;
    changed[0].turn = !as_typed.turn;
    changed[1].search = 10;
    changed[2].interlock = true;
    changed[3].clamps = (struct sg_items){.n = 1, .at = {{10, 10, 2390, 1190}}};
    changed[4].remnants = (struct sg_items){.n = 1, .at = {{50, 50, 1, 0}}};
    changed[5].stack = 2;
    for (int i = 0; i < 6; i++) {
        *stock = changed[i];
        open_page(&page);
        must(sg_longer_search_of(&ui, &page, &search) == SG_NOT_LOOKED, "change %d is not seen", i);
    }
    *stock = as_typed;
    int32_t drawn = test_shop_drawn(&shop, "other.dxf", &other, false);
    shop.drawn[drawn].print++; /* as of one drawn anew */
    shop.shop.parts[0].outline = drawn;
    open_page(&page);
    ck_assert_int_eq(sg_longer_search_of(&ui, &page, &search), SG_NOT_LOOKED);
    shop.shop.parts[0].outline = 0;
    open_page(&page);
    ck_assert_int_eq(sg_longer_search_of(&ui, &page, &search), SG_LEAST_ALREADY); /* and back */
}
END_TEST

START_TEST(no_search_is_told_where_none_was_made)
{
    struct sg_sheet_page page;
    plain_day();
    open_page(&page);
    sg_do_longer_search(&ui);
    ck_assert_str_eq(ui.message, "No layout takes fewer sheets.");
    /* Boxes of more than half a sheet's length and width beside narrow ones: the bound is not reached. */
    struct sg_stock *stock = &shop.shop.stocks[0];
    struct random r = {3};
    do {
        for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++) {
            shop.shop.parts[i].length = 300 + random_below(&r, 900);
            shop.shop.parts[i].width = 200 + random_below(&r, 500);
        }
        open_page(&page);
    } while (page.layout->sheets <= page.layout->lower_bound);
    stock->search = 5000;
    open_page(&page);
    ck_assert_int_gt(page.layout->sheets, page.layout->lower_bound);
    sg_do_longer_search(&ui);
    ck_assert_str_eq(ui.message, "A longer search was made for this layout already.");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, what_is_left_over_is_the_largest_rectangle);
    tcase_add_test(tcase, what_is_left_over_is_shown);
    tcase_add_test(tcase, what_is_left_over_is_said_within_what_is_free);
    tcase_add_test(tcase, a_sheet_is_used_by_the_areas_of_its_pieces);
    tcase_add_test(tcase, stacks_and_remnants_are_said);
    tcase_add_test(tcase, what_a_search_found_is_forgotten_with_any_change);
    tcase_add_test(tcase, no_search_is_told_where_none_was_made);
}

int main(void)
{
    return run_pictures("pictures_used", fill);
}
