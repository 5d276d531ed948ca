/* The text under the fingers, put aside on each key, and offered again when the program that had it died. */
#include "tui/do.h"

#include "exchange/render.h"
#include "tui/screens.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { KEY = 1200 };

static enum sg_status put_aside(struct sg_ui *ui, struct sg_error *error)
{
    struct sg_typing *typing = &ui->typing;
    size_t n = (size_t)typing->n;
    if (!ui->left)
        return SG_OK;
    char(*keys)[KEY] = malloc(n * sizeof *keys);
    const char **list = malloc(n * sizeof *list);
    enum sg_status status = keys && list ? SG_OK : sg_fail(error, SG_FAULT, "no memory");
    for (size_t i = 0; i < n && status == SG_OK; i++) {
        sg_key_write(ui->kept.shop, typing->targets[i], keys[i], KEY);
        list[i] = keys[i];
    }
    if (status == SG_OK)
        status = sg_left_put(ui->left,
                             &(struct sg_left_text){.keys = list,
                                                    .n = typing->n,
                                                    .field = typing->field->name,
                                                    .before = typing->before[0],
                                                    .text = sg_entry_text(&ui->entry),
                                                    .cursor = ui->entry.cursor,
                                                    .who = sg_desk_who(ui->desk),
                                                    .at = (double)time(NULL)},
                             error);
    free(keys);
    free(list);
    return status == SG_NO ? SG_OK : status; /* said already */
}

void sg_typing_put_aside(struct sg_ui *ui)
{
    struct sg_error error;
    if (put_aside(ui, &error) != SG_OK)
        sg_ui_say(ui, SG_ROLE_WRONG, "what you type is not protected until Enter: %s", error.text);
}

void sg_typing_take_aside(struct sg_ui *ui)
{
    if (ui->left)
        sg_left_clear(ui->left);
}

void sg_typing_aside_free(struct sg_ui *ui)
{
    sg_typing_take_aside(ui);
    sg_left_free(ui->left);
    ui->left = NULL;
}

void sg_ui_gone(struct sg_ui *ui)
{
    sg_left_free(ui->left); /* its file stays */
    ui->left = NULL;
}

/* ---- the next start ---- */

/* Open the screen on which a row stands, and stand on it. */
static bool go_to_row(struct sg_ui *ui, struct sg_target target)
{
    const struct sg_shop *shop = ui->kept.shop;
    int64_t row = sg_row_id(shop, target);
    int32_t job = sg_job_of(shop, target);
    if (job == SG_UNKNOWN)
        return sg_ui_open(ui, SG_SCREEN_FIELDS, target);
    int64_t job_row = shop->jobs[job].row;
    ui->shift_row = shop->shifts[shop->jobs[job].shift].row;
    sg_ui_refresh(ui);
    job = sg_row_index(ui->kept.shop, SG_KIND_JOB, job_row);
    return sg_ui_open(ui, SG_SCREEN_JOB, (struct sg_target){SG_KIND_JOB, job}) &&
           sg_ui_stand(ui, target.kind, row);
}

bool sg_ui_go_to_field(struct sg_ui *ui, struct sg_target target, const char *field)
{
    int64_t row = sg_row_id(ui->kept.shop, target);
    if (!go_to_row(ui, target))
        return false;
    if (sg_ui_place(ui)->screen == SG_SCREEN_FIELDS)
        return sg_fields_stand(ui, field);
    if (ui->build)
        sg_ui_build(ui);
    for (int i = sg_ui_place(ui)->line; i < ui->n_lines; i++) {
        const struct sg_line *line = &ui->lines[i];
        if (!line->stop || line->row != row || line->target.kind != target.kind || !line->layout)
            continue;
        for (int cell = line->first; cell < line->first + line->n; cell++)
            if (line->layout->columns[cell].field && strcmp(line->layout->columns[cell].field, field) == 0) {
                sg_ui_place(ui)->line = i;
                sg_ui_place(ui)->cell = cell;
                return true;
            }
    }
    target.index = sg_row_index(ui->kept.shop, target.kind, row);
    return sg_ui_open(ui, SG_SCREEN_FIELDS, target) && sg_fields_stand(ui, field);
}

static void mark_all(struct sg_ui *ui, const struct sg_left_text *text)
{
    struct sg_error error;
    ui->marks = malloc((size_t)text->n * sizeof *ui->marks);
    ui->marks_room = ui->marks ? text->n : 0;
    for (int i = 0; i < text->n && ui->marks; i++) {
        struct sg_target target;
        if (sg_key_find(ui->kept.shop, text->keys[i], &target, &error) == SG_OK)
            ui->marks[ui->n_marks++] = (struct sg_mark){target.kind, sg_row_id(ui->kept.shop, target)};
    }
}

/* Open the field with the text that was under somebody's fingers. False where its row or field is gone. */
static bool offer(struct sg_ui *ui, struct sg_left_found *found)
{
    const struct sg_left_text *text = &found->text;
    struct sg_target target;
    struct sg_error error;
    char at[40];
    if (sg_key_find(ui->kept.shop, text->keys[0], &target, &error) != SG_OK ||
        !sg_field_find(target.kind, text->field) || !sg_ui_go_to_field(ui, target, text->field))
        return false;
    if (text->n > 1)
        mark_all(ui, text);
    sg_clock_format(text->at, at, sizeof at);
    sg_left_take(ui->left, found);
    sg_typing_open(ui, text->text);
    if (ui->typing.typed.state == SG_PARSE_WHOLE && sg_typing_same(ui)) {
        sg_typing_drop(ui); /* it was kept a moment before the end */
        return true;
    }
    if (text->cursor <= ui->entry.length)
        ui->entry.cursor = text->cursor;
    sg_ui_say(
        ui, SG_ROLE_ODD,
        "\"%.60s\" was typed here by %.40s at %s when the program ended.%s Enter keeps it, Esc drops it",
        text->text, text->who, at, found->replaced ? " The shop file is another one since then." : "");
    ui->typing.told = true;
    return true;
}

void sg_typing_offer(struct sg_ui *ui)
{
    struct sg_left_found *found = NULL;
    struct sg_error error;
    int n = 0;
    if (ui->how.read_only || ui->how.temporary || !ui->how.path)
        return;
    ui->left = sg_left_new(ui->how.path);
    if (!ui->left || ui->no_plan[0] || sg_left_find(ui->how.path, &found, &n, &error) != SG_OK)
        return;
    for (int i = 0; i < n; i++) {
        if (offer(ui, &found[i]))
            break;
        sg_ui_say(ui, SG_ROLE_ODD, "\"%.60s\" was typed into %.60s of %.60s, which is gone",
                  found[i].text.text, found[i].text.field, found[i].text.keys[0]);
        sg_left_drop(&found[i]);
    }
    sg_left_found_free(found, n);
}
