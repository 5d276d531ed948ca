/* The sheets as they are cut: where every piece lies, how it is drawn, what is left over. */
#include "tui/longer_search.h"
#include "tui/pictures.h"
#include "tui/pieces.h"

#include "exchange/render.h"
#include "tui/do.h"

#include <ctype.h>
#include <math.h>

/* A piece is its part's box, turned or not, inside the margin. */
static void check_piece(const struct sg_sheet_page *page, int64_t i)
{
    const struct sg_stock *stock = &shop.shop.stocks[page->stock];
    struct sg_piece a = sg_sheet_piece(page, i);
    const struct sg_part *part = &shop.shop.parts[a.part];
    must_hold(part->stock == page->stock && a.number == i + 1 && !a.flipped);
    must_hold(a.length == (a.turned ? part->width : part->length));
    must_hold(a.width == (a.turned ? part->length : part->width));
    must_hold(stock->turn || a.turned == page->layout->across); /* the grain lies as the sheet does */
    must_hold(a.x >= stock->margin - 1e-4 && a.x + a.length <= page->length - stock->margin + 1e-4);
    must_hold(a.y >= stock->margin - 1e-4 && a.y + a.width <= page->width - stock->margin + 1e-4);
    for (int64_t j = 0; j < i; j++) {
        struct sg_piece b = sg_sheet_piece(page, j);
        double apart = fmax(fmax(b.x - a.x - a.length, a.x - b.x - b.length),
                            fmax(b.y - a.y - a.width, a.y - b.y - b.width));
        must(apart >= stock->gap - 1e-4, "pieces %d and %d are %g mm apart", (int)i, (int)j, apart);
    }
}

/* The batches of the run are the pieces of the page in its order. */
static void check_order(const struct sg_plan *plan, const struct sg_sheet_page *page)
{
    int64_t before = 0, piece = 0;
    for (int32_t i = 0; i < plan->n_sheets && page->known; i++) {
        const struct sg_sheets *sheets = &plan->sheets[i];
        bool here = plan->batches[sheets->first].stock == page->stock && page->number > before &&
                    page->number <= before + sheets->copies;
        before += plan->batches[sheets->first].stock == page->stock ? sheets->copies : 0;
        for (int32_t b = sheets->first; here && b < sheets->first + sheets->n; b++)
            for (int64_t k = 0; k < plan->batches[b].cuts; k++)
                must_hold(plan->batches[b].part == sg_sheet_piece(page, piece++).part);
    }
    must_hold(piece == page->n);
}

static void check_page(const struct sg_plan *plan, int32_t job, int64_t index, int64_t *cuts)
{
    struct sg_sheet_page page;
    must_hold(sg_sheet_page(&ui.tried, job, index, &page));
    must_hold(page.index == index);
    for (int64_t i = 0; i < page.n; i++) {
        check_piece(&page, i);
        cuts[sg_sheet_piece(&page, i).part]++;
    }
    check_order(plan, &page);
}

START_TEST(every_piece_lies_on_a_sheet_as_the_plan_counts)
{
    struct random r = {77};
    for (int i = 0; i < 150; i++) {
        int64_t cuts[64] = {0};
        random_day(&r);
        shop.shop.machine.table_width = 800 + random_below(&r, 1500);
        const struct sg_plan *plan = plan_it();
        for (int32_t job = 0; job < shop.shop.n_jobs; job++) {
            int64_t pages = sg_sheet_pages(&ui.tried, job);
            for (int64_t at = 0; at < pages; at++)
                check_page(plan, job, at, cuts);
            if (plan->jobs[job].sheets != SG_UNKNOWN) {
                const struct sg_stock *stock = &shop.shop.stocks[shop.shop.jobs[job].first_stock];
                must_hold(pages * stock->stack == plan->jobs[job].sheets);
            }
        }
        for (int32_t part = 0; part < shop.shop.n_parts; part++)
            must_hold(cuts[part] == (plan->parts[part].per_sheet > 0 ? plan->parts[part].cuts : 0));
        teardown();
        memset(&canvas, 0, sizeof canvas);
        setup();
    }
}
END_TEST

/* Where a number stands, -1 where it does not; one that stands twice fails. */
static int find_number(long long number, int columns)
{
    int found = -1;
    for (int row = 0; row < canvas.rows; row++) {
        char line[LINE];
        snprintf(line, sizeof line, "%.*s", columns, row_of(row));
        for (char *at = line, *end; *at; at = end > at ? end : at + 1) {
            long long value = isdigit((unsigned char)*at) ? strtoll(at, &end, 10) : -1;
            end = value < 0 ? at + 1 : end;
            if (value != number)
                continue;
            must(found < 0, "%lld stands twice", number);
            found = row * canvas.columns + (int)(at - line);
        }
    }
    return found;
}

START_TEST(every_piece_is_drawn_once_where_it_lies)
{
    plain_day();
    plan_it();
    open_sheet(0);
    int64_t pages = sg_sheet_pages(&ui.tried, 0), labels = 0;
    for (int64_t at = 0; at < pages; at++) {
        struct sg_sheet_page page;
        sg_sheet_page(&ui.tried, 0, at, &page);
        draw(&sg_screen_sheet, 40, 160);
        struct sg_piece first = sg_sheet_piece(&page, 0);
        struct sg_sheet_view view = sg_sheet_view(&page, &first, 0, 160 - 24, 40);
        for (int64_t i = 0; i < page.n; i++, labels++) {
            struct sg_piece piece = sg_sheet_piece(&page, i);
            int place = find_number(piece.number, 160 - 24);
            must(place >= 0, "%lld is not drawn", (long long)piece.number);
            must_hold(fabs(place % 160 - piece.x / view.cell) <= 0.5 + 1e-6);
            must_hold(fabs(place / 160 - piece.y / (2 * view.cell)) <= 0.5 + 1e-6);
        }
        sg_screen_sheet.next(&ui, 1);
    }
    ck_assert_int_eq(labels, 24 + 30);
    ck_assert_int_eq(ui.places[0].about.index, 1); /* behind the last sheet comes the next job */
    ck_assert_int_eq(ui.places[0].at, 0);
    sg_screen_sheet.next(&ui, -1);
    ck_assert_int_eq(ui.places[0].about.index, 0);
    ck_assert_int_eq(ui.places[0].at, pages - 1);
}
END_TEST

/* Cells of pieces and skeleton are in the proportion of their areas. */
START_TEST(the_picture_is_true_to_scale)
{
    plain_day();
    plan_it();
    open_sheet(0);
    struct sg_sheet_page page;
    sg_sheet_page(&ui.tried, 0, 0, &page);
    draw(&sg_screen_sheet, 60, 200);
    int pieces = 0, all = 0;
    for (int row = 0; row < 60; row++)
        for (int c = 0; c < 200 - 24; c++) {
            int role = canvas.cells[row * 200 + c].role;
            pieces += role == SG_ROLE_PIECE || role == SG_ROLE_CURSOR;
            all += role == SG_ROLE_PIECE || role == SG_ROLE_CURSOR || role == SG_ROLE_LOW;
        }
    double part = 0;
    for (int64_t i = 0; i < page.n; i++)
        part += sg_sheet_piece(&page, i).length * sg_sheet_piece(&page, i).width / (page.length * page.width);
    ck_assert_double_eq_tol((double)pieces / all, part, 0.03);
    char words[40];
    snprintf(words, sizeof words, "used %.0f %% (by boxes)", 100 * part);
    ck_assert_msg(is_shown(words), "no %s", words);
}
END_TEST

/* The number of the piece one stands on, as the screen says it: "B, cut 12 of 20 on the sheet: ..." */
static int64_t stood_on(const struct sg_sheet_page *page)
{
    char words[500], expected[80];
    long long number;
    sg_screen_sheet.advice(&ui, words, sizeof words);
    const char *at = strstr(words, ", cut ");
    must(at && sscanf(at, ", cut %lld of", &number) == 1 && number >= 1 && number <= page->n, "%s", words);
    struct sg_piece piece = sg_sheet_piece(page, number - 1);
    snprintf(expected, sizeof expected, "%s, cut %lld of %lld on the sheet: ", shop.shop.parts[piece.part].id,
             number, (long long)page->n);
    must(strncmp(words, expected, strlen(expected)) == 0, "%s, not %s", words, expected);
    return number - 1;
}

START_TEST(steps_reach_every_piece)
{
    enum { MOST = 100 };
    static const int ways[4][2] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
    plain_day();
    plan_it();
    open_sheet(0);
    struct sg_sheet_page page;
    sg_sheet_page(&ui.tried, 0, 0, &page);
    int64_t reached[MOST], from[MOST] = {-1}, n = 1;
    int by[MOST] = {0}, path[MOST];
    must_hold(page.n > 20 && page.n <= MOST);
    reached[0] = stood_on(&page);
    for (int64_t at = 0; at < n; at++)
        for (int way = 0; way < 4; way++) {
            int steps = 0;
            free(ui.places[0].own);
            open_sheet(0); /* the way there once more, from the start */
            for (int64_t k = at; from[k] >= 0; k = from[k])
                path[steps++] = by[k];
            while (steps-- > 0)
                sg_screen_sheet.step(&ui, ways[path[steps]][0], ways[path[steps]][1]);
            must_hold(stood_on(&page) == reached[at]);
            ui.message[0] = '\0';
            sg_screen_sheet.step(&ui, ways[way][0], ways[way][1]);
            int64_t next = stood_on(&page), known = 0;
            must_hold((next == reached[at]) == (ui.message[0] != '\0')); /* no further */
            while (known < n && reached[known] != next)
                known++;
            if (known < n)
                continue;
            from[n] = at;
            by[n] = way;
            reached[n++] = next;
        }
    ck_assert_int_eq(n, page.n);
}
END_TEST

/* Capitals are those of the piece one stands on, and letters follow every number. */
START_TEST(capitals_mark_the_piece_one_stands_on)
{
    plain_day();
    plan_it();
    open_sheet(0);
    struct sg_sheet_page page;
    sg_sheet_page(&ui.tried, 0, 0, &page);
    for (int zoomed = 0; zoomed < 3; zoomed++) {
        draw(&sg_screen_sheet, 16, 80);
        struct sg_piece piece = sg_sheet_piece(&page, 0);
        struct sg_sheet_view view = sg_sheet_view(&page, &piece, zoomed, 80 - 24, 16);
        int capitals = 0;
        for (int row = 0; row < 16; row++)
            for (int c = 0; c < 80 - 24; c++) {
                char text = cell(row, c)[0], next = cell(row, c + 1)[0];
                bool here = canvas.cells[row * 80 + c].role == SG_ROLE_CURSOR;
                must_hold(here ? text == 'A' || isdigit((unsigned char)text)
                               : strchr("ab.0123456789 |", text) != NULL);
                must_hold(!isdigit((unsigned char)text) || isalnum((unsigned char)next));
                capitals += text == 'A';
            }
        must_hold(capitals > 0);
        must_hold(piece.length / view.cell >= 2);
        must_hold(is_shown("a  A"));
        sg_screen_sheet.zoom(&ui, 1);
    }
    ck_assert(is_shown("this: A, cut 1 of"));
    ck_assert(is_shown("from sheet corner"));
}
END_TEST

START_TEST(the_legend_of_a_sheet_fits)
{
    char words[300];
    plain_day();
    for (int table = 0; table < 2; table++) {
        shop.shop.machine.table_length = table ? 1000 : 3000;
        plan_it();
        open_sheet(0);
        draw(&sg_screen_sheet, 16, 80);
        sg_screen_sheet.legend(&ui, words, sizeof words);
        must(sg_text_columns(words) <= 80, "%s", words);
        must(strstr(words, ". skeleton, CAPITALS this piece") != NULL, "%s", words);
        must((strstr(words, "| table ends") != NULL) == table, "%s", words);
    }
}
END_TEST

/* Pieces of one column, of two and of three: two numbers never stand side by side. */
START_TEST(numbers_stand_apart)
{
    test_shop_job(&shop, 0)->id = "2601";
    struct sg_stock *stock = test_shop_stock(&shop, 1, 12.7);
    stock->sheet_length = 2400;
    stock->sheet_width = 1200;
    struct sg_part *part = test_shop_part(&shop, 400, 900, 40, 60);
    int seen = 0;
    for (part->length = 40; part->length <= 160; part->length += 4) {
        plan_it();
        open_sheet(0);
        draw(&sg_screen_sheet, 16, 80);
        for (int row = 0; row < 16; row++)
            for (const char *at = row_of(row), *end = at + 80 - 24; at < end && *at; at++) {
                if (!isdigit((unsigned char)*at))
                    continue;
                char *behind;
                long number = strtol(at, &behind, 10);
                must(number >= 1 && number <= 400 && isalpha((unsigned char)*behind), "%g mm: %s",
                     part->length, at);
                at = behind;
                seen++;
            }
    }
    ck_assert_int_gt(seen, 200);
}
END_TEST

/* Where a sheet is longer than the table a line stands at its end, over everything but numbers. */
START_TEST(the_end_of_the_table_is_drawn)
{
    plain_day();
    shop.shop.machine.table_length = 1000;
    plan_it();
    open_sheet(0);
    struct sg_sheet_page page;
    sg_sheet_page(&ui.tried, 0, 0, &page);
    struct sg_piece first = sg_sheet_piece(&page, 0);
    draw(&sg_screen_sheet, 16, 80);
    struct sg_sheet_view view = sg_sheet_view(&page, &first, 0, 80 - 24, 16);
    for (int row = 0; row < view.rows; row++)
        for (int c = 0; c < view.columns; c++) {
            bool end = fabs(c - 1000 / view.cell) <= 0.5;
            const char *text = cell(row, c);
            must((text[0] == '|') == (end && !isdigit((unsigned char)text[0])), "row %d, column %d", row, c);
        }
    for (int64_t i = 0; i < page.n; i++) /* below a number's first */
        if (sg_sheet_piece(&page, i).x > 500)
            shop.shop.machine.table_length = sg_sheet_piece(&page, i).x;
    plan_it();
    open_sheet(0);
    draw(&sg_screen_sheet, 16, 80);
    ck_assert(is_shown("|"));
    sg_sheet_page(&ui.tried, 0, 0, &page);
    for (int64_t i = 0; i < page.n; i++) /* those that have room for it */
        must_hold(sg_sheet_piece(&page, i).length < 4 * view.cell || find_number(i + 1, 80 - 24) >= 0);
    shop.shop.machine.table_length = page.length;
    plan_it();
    open_sheet(0);
    draw(&sg_screen_sheet, 16, 80);
    ck_assert(!is_shown("|"));
}
END_TEST

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
    tcase_add_test(tcase, every_piece_lies_on_a_sheet_as_the_plan_counts);
    tcase_add_test(tcase, every_piece_is_drawn_once_where_it_lies);
    tcase_add_test(tcase, the_picture_is_true_to_scale);
    tcase_add_test(tcase, steps_reach_every_piece);
    tcase_add_test(tcase, capitals_mark_the_piece_one_stands_on);
    tcase_add_test(tcase, the_legend_of_a_sheet_fits);
    tcase_add_test(tcase, the_end_of_the_table_is_drawn);
    tcase_add_test(tcase, numbers_stand_apart);
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
    return run_pictures("pictures_sheets", fill);
}
