/* The sheets as they are cut: where every piece lies, how it is drawn, how one steps from one to the next. */
#include "tui/pictures.h"
#include "tui/pieces.h"

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
}

int main(void)
{
    return run_pictures("pictures_pieces", fill);
}
