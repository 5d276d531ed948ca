#include "tui/pieces.h"

#include <stdio.h>
#include <string.h>

/* ---- what lies where ---- */

static const struct sg_plan_part *planned_of(const struct sg_look *look, int32_t part)
{
    return &look->plan->parts[part - look->plan->first_part];
}

/* Sheets (stacks) of one part. */
static int64_t sheets_of(const struct sg_plan_part *part)
{
    if (part->cuts == 0)
        return 0;
    return part->per_sheet > 0 ? (part->cuts + part->per_sheet - 1) / part->per_sheet : 1;
}

static bool in_plan(const struct sg_look *look, int32_t job)
{
    return job >= look->plan->first_job && job < look->plan->first_job + look->plan->n_jobs;
}

/* First part of a job and the one behind its last; parts of a shop lie in the order of stocks and jobs. */
static void parts_of(const struct sg_shop *shop, int32_t job, int32_t *first, int32_t *end)
{
    const struct sg_job *j = &shop->jobs[job];
    *first = *end = 0;
    if (j->n_stocks == 0)
        return;
    const struct sg_stock *last = &shop->stocks[j->first_stock + j->n_stocks - 1];
    *first = shop->stocks[j->first_stock].first_part;
    *end = last->first_part + last->n_parts;
}

int64_t sg_sheet_pages(const struct sg_look *look, int32_t job)
{
    int64_t pages = 0;
    int32_t first, end;
    if (!in_plan(look, job))
        return 0;
    parts_of(look->shop, job, &first, &end);
    for (int32_t i = first; i < end; i++)
        pages += sheets_of(planned_of(look, i));
    return pages;
}

/* The plain placing that the plan counts sheets with: the same figures into the same function of the core.
 * The sheet is turned on the table where only that fits. */
static void place_part(const struct sg_look *look, struct sg_sheet_page *page)
{
    const struct sg_machine *machine = &look->shop->machine;
    const struct sg_stock *stock = &look->shop->stocks[page->stock];
    const struct sg_part *part = &look->shop->parts[page->part];
    double kerf = look->plan->stocks[page->stock - look->plan->first_stock].setup.kerf;
    double table = machine->table_width * (1 + 1e-12);
    bool across = stock->sheet_width > table && stock->sheet_length <= table;
    page->length = across ? stock->sheet_width : stock->sheet_length;
    page->width = across ? stock->sheet_length : stock->sheet_width;
    page->margin = stock->margin;
    page->spacing = sg_known(kerf) && kerf > stock->gap ? kerf : stock->gap;
    page->grid = sg_sheet_grid(page->length, page->width, page->margin, page->spacing, part->length,
                               part->width, stock->turn);
    struct sg_grid straight = sg_sheet_grid(page->length, page->width, page->margin, page->spacing,
                                            part->length, part->width, false);
    page->turned = page->grid.along * page->grid.across > straight.along * straight.across;
    page->piece_length = page->turned ? part->width : part->length;
    page->piece_width = page->turned ? part->length : part->width;
}

static void fill_page(const struct sg_look *look, int32_t part, int64_t sheet, struct sg_sheet_page *page)
{
    const struct sg_plan_part *planned = planned_of(look, part);
    page->part = part;
    page->stock = look->shop->parts[part].stock;
    page->known = planned->per_sheet > 0;
    page->first = sheet * planned->per_sheet;
    page->n = page->known ? planned->cuts - page->first : 0;
    page->n = page->n > planned->per_sheet ? planned->per_sheet : page->n;
    place_part(look, page);
    const struct sg_stock *stock = &look->shop->stocks[page->stock];
    page->number = sheet + 1;
    for (int32_t i = stock->first_part; i < part; i++)
        page->number += sheets_of(planned_of(look, i));
    const struct sg_plan_stock *of = &look->plan->stocks[page->stock - look->plan->first_stock];
    page->total = of->sheets == SG_UNKNOWN ? 0 : of->sheets / stock->stack;
}

bool sg_sheet_page(const struct sg_look *look, int32_t job, int64_t index, struct sg_sheet_page *out)
{
    int64_t pages = sg_sheet_pages(look, job), before = 0;
    int32_t first, end;
    if (pages == 0)
        return false;
    index = index < 0 ? 0 : index < pages ? index : pages - 1;
    parts_of(look->shop, job, &first, &end);
    for (int32_t i = first; i < end; before += sheets_of(planned_of(look, i++)))
        if (index < before + sheets_of(planned_of(look, i))) {
            *out = (struct sg_sheet_page){.index = index, .of = pages};
            fill_page(look, i, index - before, out);
            return true;
        }
    return false;
}

struct sg_piece sg_sheet_piece(const struct sg_sheet_page *page, int64_t i)
{
    int64_t column = i / page->grid.across, line = i % page->grid.across;
    return (struct sg_piece){.x = page->margin + (double)column * page->grid.pitch,
                             .y = page->margin + (double)line * (page->piece_width + page->spacing),
                             .length = page->piece_length,
                             .width = page->piece_width,
                             .part = page->part,
                             .number = page->first + i + 1};
}

/* What lies in no column of pieces has the sheet's edges on two sides: behind the last column, behind the
 * last whole one and below the one that is begun, or below all. */
bool sg_sheet_left_over(const struct sg_sheet_page *page, double *length, double *width)
{
    enum { KEEP_MM = 300 }; /* about a foot: the least that is worth a place in the rack */
    if (!page->known || page->n <= 0)
        return false;
    int64_t across = page->grid.across, whole = page->n / across, begun = page->n % across;
    double column = page->grid.pitch, row = page->piece_width + page->spacing;
    double behind_whole = page->margin + (double)whole * column;
    double below_begun = page->margin + (double)begun * row;
    double below_all = page->margin + (double)(whole > 0 ? across : begun) * row;
    const double x[] = {behind_whole + (begun > 0 ? column : 0), behind_whole, 0};
    const double y[] = {0, below_begun, below_all};
    double best = 0;
    for (int i = 0; i < 3; i++) {
        double along = page->length - (x[i] > 0 ? x[i] : 0), down = page->width - (y[i] > 0 ? y[i] : 0);
        if (along < KEEP_MM || down < KEEP_MM || along * down <= best || (i == 1 && begun == 0))
            continue;
        best = along * down;
        *length = along;
        *width = down;
    }
    return best > 0;
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

static void draw_piece(struct sg_canvas *canvas, struct sg_area area, const struct sg_shop *shop,
                       const struct sg_piece *piece, const struct box *box, bool here)
{
    char letter = sg_piece_letter(shop, piece->part), number[32];
    const char fill[] = {(char)(here ? letter - 'a' + 'A' : letter), '\0'};
    enum sg_role role = here ? SG_ROLE_CURSOR : SG_ROLE_PIECE;
    for (int row = 0; row < box->rows; row++)
        sg_canvas_fill(canvas, area.row + box->row + row, area.column + box->column, box->columns, role,
                       fill);
    /* A letter behind it, or two numbers beside each other read as one. */
    if (snprintf(number, sizeof number, "%lld", (long long)piece->number) < box->columns)
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
        draw_piece(canvas, area, shop, &piece, &box, false);
        last = box;
    }
    if (box_of(&view, &here, &box))
        draw_piece(canvas, area, shop, &here, &box, true);
    if (sg_sheet_beyond_table(shop, page))
        draw_table_end(canvas, area, shop, &view);
}
