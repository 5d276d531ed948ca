#include "tui/inside.h"

#include "sandglass/actual.h"
#include "sandglass/utf8.h"
#include "tui/log.h"
#include "tui/prices.h"
#include "tui/screens.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- where one is ---- */

struct sg_place *sg_ui_place(struct sg_ui *ui)
{
    return &ui->places[ui->depth - 1];
}

const struct sg_screen *sg_ui_screen(struct sg_ui *ui)
{
    return sg_screens[sg_ui_place(ui)->screen];
}

bool sg_ui_helps(const struct sg_ui *ui)
{
    return ui->places[ui->depth - 1].screen == SG_SCREEN_HELP &&
           (ui->typing.open || (ui->question && ui->question_depth < ui->depth));
}

unsigned sg_ui_where(const struct sg_ui *ui)
{
    if (sg_ui_helps(ui))
        return SG_ON_HELP;
    if (ui->question)
        return SG_IN_LINE;
    return ui->typing.open ? SG_IN_FIELD : 1u << ui->places[ui->depth - 1].screen;
}

bool sg_ui_differs(const struct sg_ui *ui)
{
    return ui->tried.plan != ui->kept.plan;
}

/* Values in a sentence are cut by their bytes: half characters go. */
static void drop_halves(char *text)
{
    char *to = text;
    size_t left = strlen(text), n;
    for (const char *at = text; left > 0; at += n ? n : 1, left -= n ? n : 1) {
        n = sg_utf8_character(at, left, NULL);
        memmove(to, at, n);
        to += n;
    }
    *to = '\0';
}

void sg_ui_say(struct sg_ui *ui, enum sg_role role, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(ui->message, sizeof ui->message, format, arguments);
    va_end(arguments);
    drop_halves(ui->message);
    ui->message_role = role;
}

const char *sg_ui_reason(const struct sg_ui *ui, const struct sg_error *error)
{
    size_t length = ui->how.path ? strlen(ui->how.path) : 0;
    bool named = length > 0 && strncmp(error->text, ui->how.path, length) == 0 &&
                 strncmp(error->text + length, ": ", 2) == 0;
    return named ? error->text + length + 2 : error->text;
}

void sg_ui_fail(struct sg_ui *ui, const struct sg_error *error)
{
    sg_ui_say(ui, SG_ROLE_WRONG, "%s", sg_ui_reason(ui, error));
    ui->wish = SG_WISH_BELL;
}

/* ---- rows ---- */

int64_t sg_row_id(const struct sg_shop *shop, struct sg_target target)
{
    int64_t row = 0;
    if (target.index != SG_UNKNOWN)
        memcpy(&row, sg_target_record(shop, target), sizeof row); /* every record starts with its row */
    return row;
}

static int32_t count_of(const struct sg_shop *shop, enum sg_kind kind)
{
    switch (kind) {
    case SG_KIND_JOB:
        return shop->n_jobs;
    case SG_KIND_STOCK:
        return shop->n_stocks;
    case SG_KIND_PART:
        return shop->n_parts;
    case SG_KIND_SHIFT:
        return shop->n_shifts;
    case SG_KIND_HEAD:
        return shop->n_heads;
    case SG_KIND_MATERIAL:
        return shop->n_materials;
    case SG_KIND_CHORE:
        return shop->n_chores;
    case SG_KIND_CLOCK:
        return shop->n_clocks;
    case SG_KIND_RECORD:
        return shop->n_records;
    default:
        return 1;
    }
}

int32_t sg_row_index(const struct sg_shop *shop, enum sg_kind kind, int64_t row)
{
    int32_t count = count_of(shop, kind);
    for (int32_t i = 0; i < count; i++)
        if (sg_row_id(shop, (struct sg_target){kind, i}) == row)
            return i;
    return SG_UNKNOWN;
}

struct sg_target sg_ui_tried(const struct sg_ui *ui, struct sg_target target)
{
    int64_t row = sg_row_id(ui->kept.shop, target);
    if (target.index >= count_of(ui->tried.shop, target.kind) || sg_row_id(ui->tried.shop, target) != row)
        target.index = sg_row_index(ui->tried.shop, target.kind, row);
    return target;
}

int32_t sg_ui_stock(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    if (line && line->target.kind == SG_KIND_STOCK)
        return line->target.index;
    if (line && line->target.kind == SG_KIND_PART)
        return ui->kept.shop->parts[line->target.index].stock;
    if (line && line->target.kind == SG_KIND_CLOCK)
        return sg_actual_stock(ui->kept.shop, ui->kept.shop->clocks[line->target.index].place);
    struct sg_target about = sg_ui_place(ui)->about;
    if (about.index == SG_UNKNOWN)
        return SG_UNKNOWN;
    return about.kind == SG_KIND_STOCK  ? about.index
           : about.kind == SG_KIND_PART ? ui->kept.shop->parts[about.index].stock
                                        : SG_UNKNOWN;
}

int32_t sg_ui_job(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    int32_t stock = sg_ui_stock(ui);
    if (stock != SG_UNKNOWN)
        return ui->kept.shop->stocks[stock].job;
    if (line && line->target.kind == SG_KIND_JOB)
        return line->target.index;
    for (int i = ui->depth - 1; i >= 0; i--)
        if (ui->places[i].about.kind == SG_KIND_JOB && ui->places[i].about.index != SG_UNKNOWN)
            return ui->places[i].about.index;
    return SG_UNKNOWN;
}

/* ---- places ---- */

static void leave_place(struct sg_ui *ui)
{
    const struct sg_screen *screen = sg_ui_screen(ui);
    struct sg_place *place = sg_ui_place(ui);
    if (screen->leave)
        screen->leave(ui);
    else
        free(place->own);
    place->own = NULL;
    ui->depth--;
    ui->n_lines = 0; /* they were those of that screen */
}

/* The lines will be another screen's. */
static void remember_row(struct sg_ui *ui)
{
    struct sg_place *place = sg_ui_place(ui);
    place->stood = (struct sg_mark){0};
    if (place->line < ui->n_lines)
        place->stood = (struct sg_mark){ui->lines[place->line].target.kind, ui->lines[place->line].row};
    ui->n_lines = 0;
}

void sg_ui_forget(struct sg_ui *ui)
{
    struct sg_error error;
    if (sg_draft_reset(ui->draft, &error) != SG_OK)
        sg_ui_fail(ui, &error);
    ui->tried = ui->kept;
}

bool sg_ui_open(struct sg_ui *ui, enum sg_screen_id screen, struct sg_target about)
{
    if (ui->depth == SG_PLACES) {
        sg_ui_say(ui, SG_ROLE_WRONG, "%d screens are open one over the other; Esc goes back", SG_PLACES);
        return false;
    }
    remember_row(ui);
    /* A what-if is looked at on its own screen and explained; elsewhere the plan is the plan. */
    const unsigned of_tried = 1u << SG_SCREEN_WHY | 1u << SG_SCREEN_HELP | 1u << SG_SCREEN_HISTORY;
    if (!ui->typing.open && sg_ui_differs(ui) && !(of_tried >> screen & 1))
        sg_ui_forget(ui);
    ui->places[ui->depth++] =
        (struct sg_place){.screen = screen, .about = about, .about_row = sg_row_id(ui->kept.shop, about)};
    ui->build = true;
    if (!sg_screens[screen]->open || sg_screens[screen]->open(ui))
        return true;
    leave_place(ui);
    ui->build = true;
    return false;
}

void sg_ui_back(struct sg_ui *ui)
{
    if (ui->depth > 1)
        leave_place(ui);
    ui->build = true;
}

/* ---- the shop and its plan ---- */

/* Places whose row is gone close. */
static void find_places(struct sg_ui *ui)
{
    for (int i = 0; i < ui->depth; i++) {
        struct sg_place *place = &ui->places[i];
        if (place->about_row == 0)
            continue;
        place->about.index = sg_row_index(ui->kept.shop, place->about.kind, place->about_row);
        if (place->about.index != SG_UNKNOWN)
            continue;
        sg_ui_say(ui, SG_ROLE_ODD, "the %s that was shown is gone", sg_kind_word(place->about.kind));
        while (ui->depth > i && ui->depth > 1)
            leave_place(ui);
    }
}

static void find_shift(struct sg_ui *ui)
{
    const struct sg_shop *shop = ui->kept.shop;
    ui->shift = sg_row_index(shop, SG_KIND_SHIFT, ui->shift_row);
    if (ui->shift == SG_UNKNOWN)
        ui->shift = sg_plan_default_shift(shop);
    ui->shift_row = ui->shift == SG_UNKNOWN ? 0 : shop->shifts[ui->shift].row;
}

/* The field under the fingers goes on in the shop as it is now. */
static void type_again(struct sg_ui *ui)
{
    struct sg_typing *typing = &ui->typing;
    int n = 0;
    for (int i = 0; i < typing->n; i++) {
        int32_t index = sg_row_index(ui->kept.shop, typing->field->kind, typing->rows[i]);
        if (index == SG_UNKNOWN)
            continue;
        char *before = typing->before[n];
        typing->targets[n] = (struct sg_target){typing->field->kind, index};
        typing->rows[n] = typing->rows[i];
        typing->before[n++] = typing->before[i];
        typing->before[i] = before; /* those that are gone stand behind, to be freed with the rest */
    }
    while (typing->n > n && n > 0)
        free(typing->before[--typing->n]);
    if (n > 0) {
        sg_typing_changed(ui);
        return;
    }
    snprintf(ui->last, sizeof ui->last, "%s", sg_entry_text(&ui->entry));
    sg_typing_drop(ui);
    sg_ui_say(ui, SG_ROLE_ODD, "the row is gone; the text \"%.80s\" is kept in :last", ui->last);
}

static void note_time(void *context, const struct sg_step_told *step)
{
    struct sg_ui *ui = context;
    ui->saved_at = step->at;
}

void sg_ui_refresh(struct sg_ui *ui)
{
    struct sg_error error;
    sg_store_history(sg_desk_store(ui->desk), 1, note_time, ui, &error); /* without it no time is shown */
    ui->kept.shop = sg_desk_shop(ui->desk);
    ui->build = true;
    ui->advice_known = false;
    sg_log_forget(ui);
    find_shift(ui);
    enum sg_status status = sg_draft_reset(ui->draft, &error);
    ui->kept.plan = NULL;
    if (status == SG_OK && ui->shift == SG_UNKNOWN)
        status =
            sg_fail(&error, SG_BAD_DATA, "the shop file has no shift: `sandglass add shift A` makes one");
    if (status == SG_OK)
        status = sg_desk_plan(ui->desk, ui->shift, &ui->kept.plan, &error);
    snprintf(ui->no_plan, sizeof ui->no_plan, "%s", status == SG_OK ? "" : error.text);
    ui->tried = ui->kept;
    if (status != SG_OK)
        return;
    find_places(ui);
    sg_prices_forget(ui);
    if (ui->typing.open)
        type_again(ui);
}

void sg_ui_try(struct sg_ui *ui)
{
    struct sg_error error;
    const struct sg_plan *plan;
    enum sg_status status = sg_draft_plan(ui->draft, ui->shift, &plan, &error);
    if (status == SG_OK) {
        ui->tried = (struct sg_look){sg_draft_shop(ui->draft), plan};
    } else {
        ui->tried = ui->kept;
        sg_ui_fail(ui, &error);
    }
}

/* ---- others ---- */

static void hear(void *context, const struct sg_step_told *step)
{
    struct sg_ui *ui = context;
    snprintf(ui->news, sizeof ui->news, "%s: %s", step->who, step->words);
}

bool sg_ui_look(struct sg_ui *ui)
{
    bool moved = false;
    struct sg_error error;
    enum sg_status status = sg_desk_look(ui->desk, &moved, hear, ui, &error);
    if (status != SG_OK && status != SG_BUSY) {
        sg_ui_fail(ui, &error);
        return true;
    }
    if (moved)
        sg_ui_refresh(ui);
    return moved;
}

bool sg_ui_idle(struct sg_ui *ui)
{
    const struct sg_screen *screen = sg_screens[sg_ui_place(ui)->screen];
    bool more = !ui->question && sg_log_go_on(ui);
    if (ui->typing.open)
        return sg_prices_go_on(ui) || more;
    return (screen->idle && !ui->question && screen->idle(ui)) || more;
}

/* ---- life ---- */

enum sg_status sg_ui_new(struct sg_desk *desk, const struct sg_ui_how *how, struct sg_ui **out,
                         struct sg_error *error)
{
    struct sg_ui *ui = calloc(1, sizeof *ui);
    if (!ui)
        return sg_fail(error, SG_FAULT, "no memory for the screens");
    ui->desk = desk;
    ui->how = *how;
    ui->how.path = ui->path = how->path ? strdup(how->path) : NULL;
    ui->rows = 24;
    ui->columns = 80;
    enum sg_status status = sg_draft_new(desk, &ui->draft, error);
    if (status != SG_OK) {
        sg_ui_free(ui);
        return status;
    }
    ui->kept.shop = sg_desk_shop(desk);
    ui->places[0].about = (struct sg_target){SG_KIND_SHIFT, SG_UNKNOWN};
    ui->places[0].cell = SG_SHIFT_FIRST_CELL;
    ui->depth = 1;
    sg_ui_refresh(ui);
    sg_typing_offer(ui);
    *out = ui;
    return SG_OK;
}

void sg_ui_free(struct sg_ui *ui)
{
    if (!ui)
        return;
    while (ui->depth > 0)
        leave_place(ui);
    sg_typing_free(ui);
    sg_log_free(ui);
    sg_prices_free(ui);
    sg_clip_free(ui->clip);
    sg_draft_free(ui->draft);
    sg_arena_free(&ui->arena);
    for (int i = 0; i < SG_SCREENS; i++)
        free(ui->own[i]);
    free(ui->to_file);
    free(ui->sums);
    free(ui->choosing.shown);
    free(ui->lines);
    free(ui->marks);
    free(ui->path);
    free(ui);
}

void sg_ui_resize(struct sg_ui *ui, int rows, int columns)
{
    ui->rows = rows;
    ui->columns = columns;
    ui->build = true; /* forms stand differently */
}

void sg_ui_draw(struct sg_ui *ui, struct sg_canvas *canvas)
{
    if (sg_canvas_clear(canvas, ui->rows, ui->columns))
        sg_frame_draw(ui, canvas);
}

enum sg_wish sg_ui_wish(struct sg_ui *ui)
{
    enum sg_wish wish = ui->wish;
    ui->wish = SG_WISH_NOTHING;
    return wish;
}
