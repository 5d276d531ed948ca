#include "tui/pieces.h"

#include "edit/scrap.h"
#include "tui/shape.h"

#include <stdio.h>
#include <string.h>

/* ---- what lies where ---- */

static bool in_plan(const struct sg_look *look, int32_t job)
{
    return job >= look->plan->first_job && job < look->plan->first_job + look->plan->n_jobs;
}

static const struct sg_plan_stock *planned_of(const struct sg_look *look, int32_t stock)
{
    return &look->plan->stocks[stock - look->plan->first_stock];
}

int64_t sg_sheet_pages(const struct sg_look *look, int32_t job)
{
    int64_t pages = 0;
    if (!in_plan(look, job))
        return 0;
    const struct sg_job *j = &look->shop->jobs[job];
    for (int32_t i = j->first_stock; i < j->first_stock + j->n_stocks; i++)
        pages += sg_sheets_in_all(look->plan, i);
    return pages;
}

/* Sheet `at` (from 0) of a stock. */
static void fill_page(const struct sg_look *look, int32_t stock, int64_t at, struct sg_sheet_page *page)
{
    const struct sg_plan_stock *planned = planned_of(look, stock);
    const struct sg_plan_layout *layout = planned->layout;
    const struct sg_sheets *sheets = sg_sheets_with(look->plan, stock, at + 1);
    int64_t i = sheets - (look->plan->sheets + planned->first_sheets);
    page->stock = stock;
    page->number = at + 1;
    page->total = planned->sheets == SG_UNKNOWN ? 0 : sg_sheets_in_all(look->plan, stock);
    page->alike = sheets->copies;
    page->part = look->plan->batches[sheets->first].part;
    page->first_part = look->shop->stocks[stock].first_part;
    page->known = layout && i < layout->n_used;
    page->length = look->shop->stocks[stock].sheet_length;
    page->width = look->shop->stocks[stock].sheet_width;
    if (!page->known)
        return;
    page->layout = layout;
    page->used = &layout->used[i];
    page->n = page->used->n_pieces;
    page->placements = layout->placements + page->used->first;
    page->length = layout->sizes[page->used->size].length;
    page->width = layout->sizes[page->used->size].width;
}

bool sg_sheet_page(const struct sg_look *look, int32_t job, int64_t index, struct sg_sheet_page *out)
{
    int64_t pages = sg_sheet_pages(look, job), before = 0;
    if (pages == 0)
        return false;
    const struct sg_job *j = &look->shop->jobs[job];
    index = index < 0 ? 0 : index < pages ? index : pages - 1;
    for (int32_t i = j->first_stock; i < j->first_stock + j->n_stocks; i++) {
        int64_t n = sg_sheets_in_all(look->plan, i);
        if (index < before + n) {
            *out = (struct sg_sheet_page){.index = index, .of = pages};
            fill_page(look, i, index - before, out);
            return true;
        }
        before += n;
    }
    return false;
}

struct sg_piece sg_sheet_piece(const struct sg_sheet_page *page, int64_t i)
{
    const struct sg_placement *placement = &page->placements[i];
    const struct sg_layout_part *box = &page->layout->boxes[placement->part];
    return (struct sg_piece){.x = placement->x,
                             .y = placement->y,
                             .length = placement->turned ? box->width : box->length,
                             .width = placement->turned ? box->length : box->width,
                             .part = page->first_part + placement->part,
                             .number = i + 1,
                             .turned = placement->turned,
                             .flipped = placement->flipped};
}

int64_t sg_sheet_pieces_of(const struct sg_sheet_page *page, int32_t part)
{
    int64_t n = 0;
    for (int64_t i = 0; i < page->n; i++)
        n += page->first_part + page->placements[i].part == part;
    return n;
}

/* ---- letters ---- */

static bool is_letter(const char *id)
{
    return ((id[0] >= 'A' && id[0] <= 'Z') || (id[0] >= 'a' && id[0] <= 'z')) && id[1] == '\0';
}

char sg_piece_letter(const struct sg_shop *shop, int32_t part)
{
    const struct sg_stock *stock = &shop->stocks[shop->parts[part].stock];
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++)
        if (!is_letter(shop->parts[i].id))
            return (char)('a' + (part - stock->first_part) % 26);
    char own = shop->parts[part].id[0];
    return (char)(own < 'a' ? own - 'A' + 'a' : own);
}

/* ---- the picture ---- */

struct sg_sheet_view sg_sheet_view(const struct sg_sheet_page *page, const struct sg_piece *at, int zoom,
                                   int columns, int rows)
{
    struct sg_sheet_view view = {.cell =
                                     ldexp(fmax(page->length / columns, page->width / (2 * rows)), -zoom)};
    double wide = columns * view.cell, high = rows * 2 * view.cell;
    view.x = fmax(0, fmin(at->x + at->length / 2 - wide / 2, page->length - wide));
    view.y = fmax(0, fmin(at->y + at->width / 2 - high / 2, page->width - high));
    int fill = (int)ceil((page->length - view.x) / view.cell - 1e-6);
    view.columns = fill < columns ? fill : columns;
    fill = (int)ceil((page->width - view.y) / (2 * view.cell) - 1e-6);
    view.rows = fill < rows ? fill : rows;
    return view;
}

/* Cells from first to the one before end of a stretch; at least one, and of a stretch in view all within it.
 */
static bool cells_of(double from, double to, double cell, int most, int *first, int *end)
{
    double a = floor(from / cell + 0.5), b = floor(to / cell + 0.5);
    if (b <= a) {
        a = floor(from / cell + 1e-9);
        b = a + 1;
    }
    if (b <= 0 || a >= most)
        return false;
    *first = a < 0 ? 0 : (int)a;
    *end = b > most ? most : (int)b;
    return true;
}

struct box {
    int row, column, rows, columns;
};

/* The cells of a piece; false where it is out of view. */
static bool box_of(const struct sg_sheet_view *view, const struct sg_piece *piece, struct box *box)
{
    int right, below;
    if (!cells_of(piece->x - view->x, piece->x + piece->length - view->x, view->cell, view->columns,
                  &box->column, &right) ||
        !cells_of(piece->y - view->y, piece->y + piece->width - view->y, 2 * view->cell, view->rows,
                  &box->row, &below))
        return false;
    box->columns = right - box->column;
    box->rows = below - box->row;
    return true;
}

/* The cells of all of a piece, those out of view too. */
static struct sg_area cells_of_piece(const struct sg_sheet_view *view, struct sg_area area,
                                     const struct sg_piece *piece)
{
    double left = floor((piece->x - view->x) / view->cell + 0.5);
    double right = floor((piece->x + piece->length - view->x) / view->cell + 0.5);
    double top = floor((piece->y - view->y) / (2 * view->cell) + 0.5);
    double below = floor((piece->y + piece->width - view->y) / (2 * view->cell) + 0.5);
    return (struct sg_area){area.row + (int)top, area.column + (int)left, (int)(below - top),
                            (int)(right - left)};
}

/* By its outline, where it has one and is large enough to show it. Pieces that lie into each other are seen
 * as the whole sheet is, with y downwards. */
static bool draw_outline(struct sg_canvas *canvas, struct sg_area area, const struct sg_shop *shop,
                         const struct sg_sheet_page *page, const struct sg_sheet_view *view,
                         const struct sg_piece *piece, const struct sg_shape_how *filled)
{
    enum { LEAST_COLUMNS = 6, LEAST_ROWS = 3 };
    int32_t outline = shop->parts[piece->part].outline;
    struct sg_area cells = cells_of_piece(view, area, piece);
    struct sg_shape_how how = *filled;
    if (outline == SG_UNKNOWN || cells.columns < LEAST_COLUMNS || cells.rows < LEAST_ROWS)
        return false;
    area.columns = view->columns;
    area.rows = view->rows;
    how.turned = piece->turned;
    how.flipped = piece->flipped;
    how.down = page->layout->interlocked;
    if (sg_shape_draw(canvas, area, cells, shop->drawn[outline].outline, &how) == 0) {
        how.ink = how.fill; /* its letter has no other place */
        sg_shape_draw(canvas, area, cells, shop->drawn[outline].outline, &how);
    }
    return true;
}

static void draw_piece(struct sg_canvas *canvas, struct sg_area area, const struct sg_shop *shop,
                       const struct sg_sheet_page *page, const struct sg_sheet_view *view,
                       const struct sg_piece *piece, const struct box *box, bool here)
{
    static const char marks[] = {[SG_PIECE_DONE] = '#', [SG_PIECE_UNDER_HEAD] = '*'};
    int state = page->states ? page->states[piece->number - 1] : SG_PIECE_NEXT;
    char letter = sg_piece_letter(shop, piece->part), number[32];
    const char fill[] = {(char)(here                     ? letter - 'a' + 'A'
                                : state == SG_PIECE_NEXT ? letter
                                                         : marks[state]),
                         '\0'};
    enum sg_role role = here ? SG_ROLE_CURSOR : SG_ROLE_PIECE;
    snprintf(number, sizeof number, "%lld", (long long)piece->number);
    const struct sg_shape_how how = {.role = role, .fill = fill, .label = number};
    if (draw_outline(canvas, area, shop, page, view, piece, &how))
        return;
    for (int row = 0; row < box->rows; row++)
        sg_canvas_fill(canvas, area.row + box->row + row, area.column + box->column, box->columns, role,
                       fill);
    /* A letter behind it, or two numbers beside each other read as one. */
    if ((int)strlen(number) < box->columns)
        sg_canvas_put(canvas, area.row + box->row, area.column + box->column, box->columns, role, number);
}

bool sg_sheet_beyond_table(const struct sg_shop *shop, const struct sg_sheet_page *page)
{
    return page->length > shop->machine.table_length * (1 + 1e-9);
}

/* Over gaps and pieces, not over their numbers. */
static void draw_table_end(struct sg_canvas *canvas, struct sg_area area, const struct sg_shop *shop,
                           const struct sg_sheet_view *view)
{
    double at = floor((shop->machine.table_length - view->x) / view->cell + 0.5);
    int column = area.column + (at < 0 || at >= view->columns ? -1 : (int)at);
    for (int row = area.row; row < area.row + view->rows && column >= area.column; row++) {
        bool inside = row < canvas->rows && column < canvas->columns;
        char there = inside ? canvas->cells[row * canvas->columns + column].text[0] : ' ';
        if (there < '0' || there > '9')
            sg_canvas_put(canvas, row, column, 1, SG_ROLE_LABEL, "|");
    }
}

void sg_sheet_draw(struct sg_canvas *canvas, struct sg_area area, const struct sg_shop *shop,
                   const struct sg_sheet_page *page, int64_t at, int zoom)
{
    struct sg_piece here = sg_sheet_piece(page, at);
    struct sg_sheet_view view = sg_sheet_view(page, &here, zoom, area.columns, area.rows);
    struct box box, last = {0, 0, 0, 0};
    for (int row = 0; row < view.rows; row++)
        sg_canvas_fill(canvas, area.row + row, area.column, view.columns, SG_ROLE_LOW, ".");
    for (int64_t i = 0; i < page->n; i++) {
        struct sg_piece piece = sg_sheet_piece(page, i);
        if (i == at || !box_of(&view, &piece, &box) || memcmp(&box, &last, sizeof box) == 0)
            continue; /* of small pieces that share a cell one is drawn */
        draw_piece(canvas, area, shop, page, &view, &piece, &box, false);
        last = box;
    }
    if (box_of(&view, &here, &box))
        draw_piece(canvas, area, shop, page, &view, &here, &box, true);
    if (sg_sheet_beyond_table(shop, page))
        draw_table_end(canvas, area, shop, &view);
}
