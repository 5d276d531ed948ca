/* The sheets of a job, true to scale as far as cells allow, and where one stands: a piece. */
#include "tui/screens.h"

#include "edit/search.h"
#include "tui/do.h"
#include "tui/longer_search.h"
#include "tui/pieces.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    SIDE = 22,      /* columns of the figures beside the sheet */
    WITH_SIDE = 56, /* columns from which they stand there */
    NEAREST = 8,    /* steps closer */
    FAR = 1000000,  /* steps that mean: to the end */
    TEXT = 500
};

/* What the screen keeps: the piece on which one stands, and what a longer search found. */
struct stand {
    int64_t piece;
    struct sg_longer_search search;
    unsigned char *states; /* of the pieces of the sheet */
};

/* ---- where one is ---- */

static int32_t job_of(struct sg_ui *ui)
{
    struct sg_target about = sg_ui_place(ui)->about;
    return about.index == SG_UNKNOWN ? SG_UNKNOWN : sg_ui_tried(ui, about).index;
}

static bool page_of(struct sg_ui *ui, struct sg_sheet_page *page)
{
    int32_t job = job_of(ui);
    struct stand *stand = sg_ui_place(ui)->own;
    if (job == SG_UNKNOWN || !sg_sheet_page(&ui->tried, job, sg_ui_place(ui)->at, page))
        return false;
    page->states = stand && sg_sheet_states(ui, page, &stand->states) ? stand->states : NULL;
    return true;
}

static void leave(struct sg_ui *ui)
{
    struct stand *stand = sg_ui_place(ui)->own;
    if (stand)
        free(stand->states);
    free(stand);
}

static int64_t piece_of(struct sg_ui *ui, const struct sg_sheet_page *page)
{
    const struct stand *stand = sg_ui_place(ui)->own;
    int64_t piece = stand ? stand->piece : 0;
    return piece < page->n ? piece : page->n - 1;
}

/* On the piece under the head, where the clock of the job runs. */
static void stand_under_head(struct sg_ui *ui)
{
    struct sg_place *place = sg_ui_place(ui);
    struct stand *stand = place->own;
    struct sg_sheet_page page;
    int64_t sheet = sg_sheet_under_head(ui, place->about.index);
    if (sheet < 0 || sheet >= sg_sheet_pages(&ui->tried, place->about.index))
        return;
    place->at = sheet > INT_MAX ? INT_MAX : (int)sheet;
    if (!page_of(ui, &page) || !page.states)
        return;
    for (int64_t i = 0; i < page.n; i++)
        if (page.states[i] == SG_PIECE_UNDER_HEAD)
            stand->piece = i;
}

/* The screen is about a job, also where it was asked for from one of its rows. */
static bool open_job(struct sg_ui *ui)
{
    struct sg_place *place = sg_ui_place(ui);
    const struct sg_shop *shop = ui->kept.shop;
    struct sg_target *about = &place->about;
    if (about->index != SG_UNKNOWN && about->kind == SG_KIND_PART)
        *about = (struct sg_target){SG_KIND_STOCK, shop->parts[about->index].stock};
    if (about->index != SG_UNKNOWN && about->kind == SG_KIND_STOCK)
        *about = (struct sg_target){SG_KIND_JOB, shop->stocks[about->index].job};
    if ((about->index == SG_UNKNOWN || about->kind != SG_KIND_JOB) && ui->kept.plan &&
        ui->kept.plan->n_jobs > 0)
        *about = (struct sg_target){SG_KIND_JOB, ui->kept.plan->first_job};
    place->about_row = sg_row_id(shop, *about);
    place->own = calloc(1, sizeof(struct stand));
    if (place->own)
        stand_under_head(ui);
    else
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory for the picture");
    return place->own != NULL;
}

/* ---- a longer search ---- */

static bool search(struct sg_ui *ui)
{
    struct sg_sheet_page page;
    struct stand *stand = sg_ui_place(ui)->own;
    struct sg_error error;
    return stand && page_of(ui, &page) && sg_longer_search_of(ui, &page, &stand->search) == SG_NOT_LOOKED &&
           sg_longer_search(ui, &page, &stand->search, &error) == SG_FEWER;
}

static void take_found(struct sg_ui *ui, const struct sg_sheet_page *page, int64_t found)
{
    struct sg_error error;
    struct sg_change change;
    struct sg_target target;
    char key[400], assignment[60];
    const char *const assignments[] = {assignment};
    int64_t before = page->layout->sheets * ui->kept.shop->stocks[page->stock].stack;
    sg_key_write(ui->kept.shop, (struct sg_target){SG_KIND_STOCK, page->stock}, key, sizeof key);
    snprintf(assignment, sizeof assignment, "search=%d", SG_SEARCH_LOOKS);
    if (sg_desk_set(ui->desk, key, assignments, 1, true, &change, &target, &error) != SG_OK) {
        sg_ui_fail(ui, &error);
        return;
    }
    sg_ui_refresh(ui);
    sg_ui_say(ui, SG_ROLE_TEXT, "Laid out anew: %lld sheet%s instead of %lld. u takes it back.",
              (long long)found, found == 1 ? "" : "s", (long long)before);
}

void sg_do_longer_search(struct sg_ui *ui)
{
    static const char *const words[] = {
        [SG_NOT_LOOKED] = "Keep or drop what is tried first: the search is for the sheets of the plan.",
        [SG_LEAST_ALREADY] = "No layout takes fewer sheets.",
        [SG_TAKEN_ALREADY] = "A longer search was made for this layout already.",
        [SG_NOT_FEWER] = "A longer search finds no layout with fewer sheets."};
    struct sg_sheet_page page;
    struct stand *stand = sg_ui_place(ui)->own;
    struct sg_error error = {.text = "the longer search failed"};
    if (!stand || !page_of(ui, &page) || !page.known) {
        sg_ui_say(ui, SG_ROLE_TEXT, "No pieces are drawn here.");
        return;
    }
    if (stand->search.looked == SG_LOOK_FAILED) /* once more, as it was asked for */
        stand->search = (struct sg_longer_search){0};
    enum sg_looked looked = sg_longer_search(ui, &page, &stand->search, &error);
    if (looked == SG_FEWER)
        take_found(ui, &page, stand->search.found);
    else if (looked == SG_LOOK_FAILED)
        sg_ui_fail(ui, &error);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "%s", words[looked]);
}

static const struct sg_caution *caution_of(const struct sg_plan *plan, int code, int kind, int32_t index)
{
    for (int32_t i = 0; i < plan->n_cautions; i++)
        if (plan->cautions[i].code == code && plan->cautions[i].kind == kind &&
            plan->cautions[i].index == index)
            return &plan->cautions[i];
    return NULL;
}

/* ---- words where there is no picture ---- */

/* Why there is no sheet of the job at all. */
static void no_sheet(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_look *look = &ui->tried;
    int32_t index = job_of(ui);
    if (index == SG_UNKNOWN) {
        snprintf(out, size, "No jobs in shift %s yet.", look->shop->shifts[look->plan->shift].id);
        return;
    }
    const struct sg_job *job = &look->shop->jobs[index];
    int32_t parts = 0;
    for (int32_t i = 0; i < job->n_stocks; i++)
        parts += look->shop->stocks[job->first_stock + i].n_parts;
    if (job->shift != look->plan->shift)
        snprintf(out, size, "Job %s is cut in shift %s, not in the one shown.", job->id,
                 look->shop->shifts[job->shift].id);
    else if (job->n_stocks == 0)
        snprintf(out, size, "Job %s has no sheets yet: add them on its own screen.", job->id);
    else if (parts == 0)
        snprintf(out, size, "Job %s has no parts yet: add them on its own screen.", job->id);
    else
        snprintf(out, size, "Nothing of job %s is cut: every quantity is 0.", job->id);
}

/* What is missing for a sheet to be drawn, as the plan says it. */
static void not_placed(const struct sg_look *look, const struct sg_sheet_page *page, char *out, size_t size)
{
    static const struct {
        int code, kind;
    } reasons[] = {{SG_CAUTION_NO_BOX, SG_KIND_PART},
                   {SG_CAUTION_NO_SHEET, SG_KIND_STOCK},
                   {SG_CAUTION_DOES_NOT_FIT, SG_KIND_PART}};
    char key[400], words[400];
    size_t n = 0;
    out[0] = '\0';
    for (size_t i = 0; i < sizeof reasons / sizeof *reasons && n < size; i++) {
        struct sg_target target = {(enum sg_kind)reasons[i].kind,
                                   reasons[i].kind == SG_KIND_PART ? page->part : page->stock};
        const struct sg_caution *caution =
            caution_of(look->plan, reasons[i].code, reasons[i].kind, target.index);
        if (!caution)
            continue;
        sg_key_write(look->shop, target, key, sizeof key);
        sg_caution_text(caution, look->shop->units, words, sizeof words);
        n += (size_t)snprintf(out + n, size - n, "%s%s: %s.", n > 0 ? " " : "", key, words);
    }
}

/* Words in lines of the area, broken at blanks. */
static void draw_words(struct sg_canvas *canvas, struct sg_area area, const char *words)
{
    char line[TEXT];
    for (int row = 0; row < area.rows && *words; row++) {
        size_t n = 0, blank = 0;
        for (int used = 0, columns = 0; words[n]; used += columns) {
            size_t next = sg_text_next(words + n, &columns);
            if (used + columns > area.columns || n + next >= sizeof line)
                break;
            blank = words[n] == ' ' ? n : blank;
            n += next;
        }
        n = words[n] && blank > 0 ? blank : n;
        if (n == 0)
            return; /* not one character fits */
        snprintf(line, sizeof line, "%.*s", (int)n, words);
        sg_canvas_put(canvas, area.row + row, area.column, area.columns, SG_ROLE_ODD, line);
        words += n + strspn(words + n, " ");
    }
}

/* ---- the screen ---- */

/* The area of the sheet, and of the figures where there is room for them. */
static struct sg_area split(struct sg_area *area)
{
    struct sg_area side = *area;
    side.columns = area->columns >= WITH_SIDE ? SIDE : 0;
    area->columns -= side.columns > 0 ? SIDE + 2 : 0;
    side.column += area->columns + 2;
    return side;
}

static void draw(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    struct sg_sheet_page page;
    char words[3 * TEXT];
    if (area.rows < 1 || area.columns < 1)
        return;
    if (!page_of(ui, &page)) {
        no_sheet(ui, words, sizeof words);
        draw_words(canvas, area, words);
        return;
    }
    struct sg_area side = split(&area);
    if (side.columns > 0)
        sg_sheet_figures(canvas, side, &ui->tried, &page, piece_of(ui, &page));
    if (page.known) {
        sg_sheet_draw(canvas, area, ui->tried.shop, &page, piece_of(ui, &page), sg_ui_place(ui)->zoom);
    } else {
        not_placed(&ui->tried, &page, words, sizeof words);
        draw_words(canvas, area, words);
    }
}

static const char *how_laid_out(const struct sg_plan_layout *layout)
{
    return layout->interlocked ? "outlines interlock" : layout->common ? "common lines" : "laid out by boxes";
}

static void title(struct sg_ui *ui, char *out, size_t size)
{
    struct sg_sheet_page page;
    int32_t job = job_of(ui);
    char gap[40];
    if (job == SG_UNKNOWN)
        snprintf(out, size, "SHEET");
    else if (!page_of(ui, &page) || !page.known)
        snprintf(out, size, "SHEET  job %s  %s", ui->tried.shop->jobs[job].id,
                 ui->tried.shop->jobs[job].name);
    else
        snprintf(out, size, "SHEET  job %s  %s  %s, gap %s %s", ui->tried.shop->jobs[job].id,
                 ui->tried.shop->jobs[job].name, how_laid_out(page.layout),
                 sg_sheet_length(&ui->tried, page.layout->gap, gap),
                 sg_unit_of_shop(SG_DIM_LENGTH, ui->tried.shop->units)->name);
}

static void advice(struct sg_ui *ui, char *out, size_t size)
{
    struct sg_sheet_page page;
    const struct sg_look *look = &ui->tried;
    char box[100], x[40], y[40], small[400] = "";
    if (!page_of(ui, &page)) {
        no_sheet(ui, out, size);
        return;
    }
    if (!page.known) {
        not_placed(look, &page, out, size);
        return;
    }
    const struct stand *stand = sg_ui_place(ui)->own;
    if (stand && sg_longer_search_of(ui, &page, &stand->search) == SG_FEWER) {
        int64_t found = stand->search.found;
        snprintf(out, size, "A longer search finds a layout on %lld sheet%s instead of %lld: D takes it.",
                 (long long)found, found == 1 ? "" : "s",
                 (long long)(page.layout->sheets * look->shop->stocks[page.stock].stack));
        return;
    }
    struct sg_piece piece = sg_sheet_piece(&page, piece_of(ui, &page));
    const struct sg_caution *caution =
        caution_of(look->plan, SG_CAUTION_SMALL_PART, SG_KIND_PART, piece.part);
    if (!caution)
        caution = caution_of(look->plan, SG_CAUTION_CROSSES_INDEX, SG_KIND_PART, piece.part);
    sg_sheet_lengths(look, piece.length, piece.width, box, sizeof box);
    if (caution)
        sg_caution_text(caution, look->shop->units, small, sizeof small);
    static const char *const states[] = {
        [SG_PIECE_NEXT] = ", next", [SG_PIECE_DONE] = ", done", [SG_PIECE_UNDER_HEAD] = ", under the head"};
    snprintf(out, size, "%s, cut %lld of %lld on the sheet%s: %s, x %s y %s from its corner%s%s",
             look->shop->parts[piece.part].id, (long long)piece.number, (long long)page.n,
             page.states ? states[page.states[piece.number - 1]] : "", box, sg_sheet_length(look, piece.x, x),
             sg_sheet_length(look, piece.y, y), caution ? ": " : ".", small);
}

static void legend(struct sg_ui *ui, char *out, size_t size)
{
    struct sg_sheet_page page;
    struct sg_area area = ui->body;
    char column[40], line[40];
    out[0] = '\0';
    if (!page_of(ui, &page) || !page.known || area.rows < 1 || area.columns < 1)
        return;
    split(&area);
    struct sg_piece here = sg_sheet_piece(&page, piece_of(ui, &page));
    struct sg_sheet_view view = sg_sheet_view(&page, &here, sg_ui_place(ui)->zoom, area.columns, area.rows);
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_LENGTH, ui->tried.shop->units);
    int decimals = ui->tried.shop->units == SG_UNITS_US ? 2 : 1;
    sg_number_short(view.cell, unit, decimals, column, sizeof column);
    sg_number_short(2 * view.cell, unit, decimals, line, sizeof line);
    int n = snprintf(out, size, ". skeleton, CAPITALS this piece%s%s; a cell is %s x %s %s",
                     page.states ? ", # done, * under the head" : "",
                     sg_sheet_beyond_table(ui->tried.shop, &page) ? ", | table ends" : "", column, line,
                     unit->name);
    static const char gaps[] = ", smaller gaps do not show";
    if (n + (int)sizeof gaps - 1 <= ui->body.columns)
        snprintf(out + n, size - (size_t)n, "%s", gaps);
}

static void say(struct sg_ui *ui, char *out, size_t size)
{
    struct sg_sheet_page page;
    char words[TEXT];
    advice(ui, words, sizeof words);
    if (page_of(ui, &page))
        snprintf(out, size, "sheet %lld of %lld, %s", (long long)page.index + 1, (long long)page.of, words);
    else
        snprintf(out, size, "%s", words);
}

bool sg_sheet_stands(struct sg_ui *ui, struct sg_sheet_page *page, struct sg_piece *piece)
{
    if (!page_of(ui, page) || !page->known)
        return false;
    *piece = sg_sheet_piece(page, piece_of(ui, page));
    return true;
}

/* ---- moving ---- */

/* The piece next to one in a direction, or the last one there; -1 where there is none. */
static int64_t beside(const struct sg_sheet_page *page, int64_t at, int right, int down, bool last)
{
    struct sg_piece here = sg_sheet_piece(page, at);
    double best = 0;
    int64_t found = -1;
    for (int64_t i = 0; i < page->n; i++) {
        struct sg_piece piece = sg_sheet_piece(page, i);
        double dx = piece.x + piece.length / 2 - here.x - here.length / 2;
        double dy = piece.y + piece.width / 2 - here.y - here.width / 2;
        double along = dx * right + dy * down, across = fabs(right != 0 ? dy : dx);
        double score = last ? 1e6 * across - along : along + 3 * across;
        if (along > 1e-6 && (found < 0 || score < best)) {
            found = i;
            best = score;
        }
    }
    return found;
}

static void step(struct sg_ui *ui, int right, int down)
{
    struct sg_sheet_page page;
    struct stand *stand = sg_ui_place(ui)->own;
    int left = abs(right + down), to_right = (right > 0) - (right < 0), to_below = (down > 0) - (down < 0);
    if (!stand || !page_of(ui, &page) || !page.known) {
        sg_ui_say(ui, SG_ROLE_TEXT, "No pieces are drawn here.");
        return;
    }
    int64_t at = piece_of(ui, &page), next = at;
    for (bool last = left >= FAR; left > 0 && next >= 0; left = last ? 0 : left - 1) {
        next = beside(&page, at, to_right, to_below, last);
        at = next >= 0 ? next : at;
    }
    if (at == piece_of(ui, &page))
        sg_ui_say(ui, SG_ROLE_TEXT, "No piece further that way.");
    stand->piece = at;
}

static void zoom(struct sg_ui *ui, int by)
{
    struct sg_place *place = sg_ui_place(ui);
    if (by < 0 && place->zoom == 0)
        sg_ui_say(ui, SG_ROLE_TEXT, "The whole sheet is shown.");
    else if (by > 0 && place->zoom == NEAREST)
        sg_ui_say(ui, SG_ROLE_TEXT, "No closer than this.");
    else
        place->zoom += by;
}

static void stand_on(struct sg_ui *ui, int64_t sheet)
{
    struct sg_place *place = sg_ui_place(ui);
    place->at = sheet > INT_MAX ? INT_MAX : (int)sheet;
    if (place->own)
        ((struct stand *)place->own)->piece = 0;
}

/* The sheet before or behind, over the jobs of the shift. */
static void next_sheet(struct sg_ui *ui, int by)
{
    struct sg_place *place = sg_ui_place(ui);
    const struct sg_plan *plan = ui->kept.plan;
    struct sg_sheet_page page;
    bool drawn = page_of(ui, &page);
    if (drawn && page.index + by >= 0 && page.index + by < page.of) {
        stand_on(ui, page.index + by);
        return;
    }
    for (int32_t i = place->about.index + by; i >= plan->first_job && i < plan->first_job + plan->n_jobs;
         i += by) {
        struct sg_target job = {SG_KIND_JOB, i};
        int32_t tried = sg_ui_tried(ui, job).index;
        int64_t pages = tried == SG_UNKNOWN ? 0 : sg_sheet_pages(&ui->tried, tried);
        if (pages == 0)
            continue;
        place->about = job;
        place->about_row = ui->kept.shop->jobs[i].row;
        stand_on(ui, by < 0 ? pages - 1 : 0);
        return;
    }
    sg_ui_say(ui, SG_ROLE_TEXT, "This is the %s sheet of the shift.", by < 0 ? "first" : "last");
}

const struct sg_screen sg_screen_sheet = {
    .name = "Sheet",
    .answers = true,
    .rest_ends = true,
    .of_job = true,
    .title = title,
    .draw = draw,
    .advice = advice,
    .legend = legend,
    .open = open_job,
    .leave = leave,
    .step = step,
    .zoom = zoom,
    .next = next_sheet,
    .idle = search,
    .say = say,
};
