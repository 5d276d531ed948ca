/* Rows marked, added, doubled, taken and put elsewhere, moved. */
#include "tui/do.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEY = 1200 };

/* ---- marks ---- */

static int mark_index(const struct sg_ui *ui, const struct sg_line *line)
{
    for (int i = 0; i < ui->n_marks; i++)
        if (ui->marks[i].kind == line->target.kind && ui->marks[i].row == line->row)
            return i;
    return -1;
}

static void set_mark(struct sg_ui *ui, const struct sg_line *line, bool on)
{
    int at = mark_index(ui, line);
    if (at >= 0 && !on)
        ui->marks[at] = ui->marks[--ui->n_marks];
    if (at >= 0 || !on || line->row == 0)
        return;
    if (ui->n_marks == ui->marks_room) {
        int room = ui->marks_room > 0 ? ui->marks_room * 2 : 32;
        struct sg_mark *marks = realloc(ui->marks, (size_t)room * sizeof *marks);
        if (!marks)
            return;
        ui->marks = marks;
        ui->marks_room = room;
    }
    ui->marks[ui->n_marks++] = (struct sg_mark){line->target.kind, line->row};
}

static void say_marks(struct sg_ui *ui)
{
    if (ui->n_marks > 0)
        sg_ui_say(ui, SG_ROLE_TEXT,
                  "%d row%s marked: what is typed goes into all of them. V clears the marks.", ui->n_marks,
                  ui->n_marks == 1 ? "" : "s");
}

void sg_do_mark(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    if (!line || line->row == 0)
        return;
    set_mark(ui, line, mark_index(ui, line) < 0);
    sg_move_lines(ui, 1);
    say_marks(ui);
}

void sg_mark_range(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    int here = sg_ui_place(ui)->line, first = ui->range_line < here ? ui->range_line : here;
    int last = ui->range_line < here ? here : ui->range_line;
    ui->n_marks = 0;
    for (int i = first; line && i <= last && i < ui->n_lines; i++)
        if (ui->lines[i].stop && ui->lines[i].target.kind == line->target.kind)
            set_mark(ui, &ui->lines[i], true);
}

void sg_do_range(struct sg_ui *ui)
{
    bool begins = !ui->ranging && sg_ui_line(ui);
    if (begins)
        ui->range_line = sg_ui_place(ui)->line;
    if (begins || ui->ranging)
        sg_mark_range(ui); /* the end may have been reached by a find */
    ui->ranging = begins;
    say_marks(ui);
}

void sg_do_mark_none(struct sg_ui *ui)
{
    ui->n_marks = 0;
    ui->ranging = false;
}

void sg_do_mark_all(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    if (!line || ui->n_marks > 0) {
        sg_do_mark_none(ui);
        return;
    }
    for (int i = 0; i < ui->n_lines; i++)
        if (ui->lines[i].stop && ui->lines[i].target.kind == line->target.kind)
            set_mark(ui, &ui->lines[i], true);
    say_marks(ui);
}

/* ---- the rows that an action is about ---- */

struct rows {
    char (*keys)[KEY];
    const char **list;
    int n;
    enum sg_kind kind;
};

static void free_rows(struct rows *rows)
{
    free(rows->keys);
    free(rows->list);
}

/* The row one stands on, or all marked ones of its kind if it is marked, in their order in the shop. */
static bool take_rows(struct sg_ui *ui, struct rows *rows)
{
    const struct sg_line *line = sg_ui_line(ui);
    *rows = (struct rows){0};
    if (!line || line->row == 0) {
        sg_ui_say(ui, SG_ROLE_TEXT, "Stand on a row first.");
        return false;
    }
    bool marked = mark_index(ui, line) >= 0;
    size_t most = marked ? (size_t)ui->n_marks : 1;
    rows->kind = line->target.kind;
    rows->keys = malloc(most * sizeof *rows->keys);
    rows->list = malloc(most * sizeof *rows->list);
    if (!rows->keys || !rows->list) {
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory for %zu rows", most);
        free_rows(rows);
        return false;
    }
    int64_t last = 0;
    for (int i = 0; i < ui->n_lines; i++) {
        const struct sg_line *l = &ui->lines[i];
        bool taken = l->stop && l->target.kind == rows->kind && l->row != last &&
                     (marked ? mark_index(ui, l) >= 0 : l->row == line->row);
        if (!taken || rows->n == (int)most)
            continue;
        last = l->row;
        sg_key_write(ui->kept.shop, l->target, rows->keys[rows->n], KEY);
        rows->list[rows->n] = rows->keys[rows->n];
        rows->n++;
    }
    return true;
}

/* After a change of rows: the shop as it is, the cursor on the row that came of it. */
static bool done(struct sg_ui *ui, enum sg_status status, const struct sg_error *error,
                 const struct sg_target *target)
{
    int64_t row = 0;
    ui->touched = true;
    if (status == SG_OK && target)
        row = sg_row_id(sg_desk_shop(ui->desk), *target);
    sg_ui_refresh(ui);
    if (status != SG_OK)
        sg_ui_fail(ui, error);
    else if (target)
        sg_ui_stand(ui, target->kind, row);
    return status == SG_OK;
}

static const char *plural(int n)
{
    return n == 1 ? "" : "s";
}

/* ---- doing it ---- */

void sg_do_duplicate(struct sg_ui *ui)
{
    struct rows rows;
    struct sg_target target;
    struct sg_error error;
    if (!take_rows(ui, &rows))
        return;
    enum sg_status status = sg_desk_duplicate(ui->desk, rows.list, rows.n, &target, &error);
    if (done(ui, status, &error, &target))
        sg_ui_say(ui, SG_ROLE_TEXT, "%d %s%s copied, with a new key each.  u takes it back", rows.n,
                  sg_kind_word(rows.kind), plural(rows.n));
    sg_do_mark_none(ui);
    free_rows(&rows);
}

static void yank(struct sg_ui *ui, bool cut)
{
    struct rows rows;
    struct sg_clip *clip;
    struct sg_error error;
    if (!take_rows(ui, &rows))
        return;
    enum sg_status status = sg_desk_yank(ui->desk, rows.list, rows.n, cut, &clip, &error);
    if (status == SG_OK) {
        sg_clip_free(ui->clip);
        ui->clip = clip;
    }
    if (done(ui, status, &error, NULL))
        sg_ui_say(ui, SG_ROLE_TEXT, "%d %s%s %s.  p puts %s below a row%s", rows.n, sg_kind_word(rows.kind),
                  plural(rows.n), cut ? "taken out" : "copied", rows.n == 1 ? "it" : "them",
                  cut ? ", u takes it back" : "");
    sg_do_mark_none(ui);
    free_rows(&rows);
}

void sg_do_copy(struct sg_ui *ui)
{
    yank(ui, false);
}

void sg_do_cut(struct sg_ui *ui)
{
    yank(ui, true);
}

/* The key of the row one stands on; of the place where there is none; of the shift. */
static void key_here(struct sg_ui *ui, char *key)
{
    const struct sg_line *line = sg_ui_line(ui);
    struct sg_target target = {SG_KIND_SHIFT, ui->shift};
    if (line && line->row != 0)
        target = line->target;
    else if (sg_ui_place(ui)->about_row != 0)
        target = sg_ui_place(ui)->about;
    sg_key_write(ui->kept.shop, target, key, KEY);
}

static void paste(struct sg_ui *ui, bool above)
{
    char key[KEY];
    struct sg_target target;
    struct sg_error error;
    if (!ui->clip) {
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing taken yet: y copies rows, x takes them out.");
        return;
    }
    key_here(ui, key);
    enum sg_status status = sg_desk_paste(ui->desk, ui->clip, key, above, &target, &error);
    if (done(ui, status, &error, &target))
        sg_ui_say(ui, *sg_clip_said(ui->clip) ? SG_ROLE_ODD : SG_ROLE_TEXT, "Put %s %s.  %s%su takes it back",
                  above ? "above" : "below", key, sg_clip_said(ui->clip),
                  *sg_clip_said(ui->clip) ? "  " : "");
}

void sg_do_paste_below(struct sg_ui *ui)
{
    paste(ui, false);
}

void sg_do_paste_above(struct sg_ui *ui)
{
    paste(ui, true);
}

static void move_rows(struct sg_ui *ui, int by)
{
    struct rows rows;
    struct sg_error error;
    if (!take_rows(ui, &rows))
        return;
    int64_t row = sg_ui_line(ui)->row;
    enum sg_status status = sg_desk_step_rows(ui->desk, rows.list, rows.n, by, &error);
    done(ui, status == SG_NO ? SG_OK : status, &error, NULL);
    sg_ui_stand(ui, rows.kind, row);
    if (status == SG_NO)
        sg_ui_say(ui, SG_ROLE_TEXT, "%s", sg_ui_reason(ui, &error));
    free_rows(&rows);
}

void sg_do_row_down(struct sg_ui *ui)
{
    move_rows(ui, 1);
}

void sg_do_row_up(struct sg_ui *ui)
{
    move_rows(ui, -1);
}

/* ---- a new row ---- */

/* Add it beside the row one stands on, and stand on the first input of it. */
static void add(struct sg_ui *ui, enum sg_kind kind, const char *beside, const char *id)
{
    struct sg_target target;
    struct sg_error error;
    char key[KEY] = "";
    enum sg_status status = sg_desk_add_beside(ui->desk, kind, beside, id, NULL, 0, NULL, &target, &error);
    if (status == SG_OK)
        sg_key_write(sg_desk_shop(ui->desk), target, key, sizeof key);
    if (!done(ui, status, &error, &target)) {
        sg_question_again(ui);
        return;
    }
    sg_ui_place(ui)->cell = 0;
    if (sg_ui_line(ui) && !(sg_ui_column(ui) && sg_ui_column(ui)->field))
        sg_move_inputs(ui, 1);
    sg_typing_open(ui, NULL);
    ui->proposal = true;
    sg_ui_say(ui, SG_ROLE_TEXT, "%s %s added: type its values, Tab goes on, Esc ends it", sg_kind_word(kind),
              key);
}

static void add_named(struct sg_ui *ui, enum sg_kind kind, const char *id)
{
    char key[KEY];
    key_here(ui, key);
    if (id[0])
        add(ui, kind, key, id);
}

static void add_job(struct sg_ui *ui, const char *id)
{
    add_named(ui, SG_KIND_JOB, id);
}

static void add_part(struct sg_ui *ui, const char *id)
{
    add_named(ui, SG_KIND_PART, id);
}

/* A row's key is what people call it by: it is asked for, the next free one proposed. */
static void ask_key(struct sg_ui *ui, enum sg_kind kind, const struct sg_question *question)
{
    char key[KEY], id[SG_FREE_ID];
    key_here(ui, key);
    sg_desk_free_id(ui->desk, kind, key, id, sizeof id);
    sg_question_open(ui, question, id);
}

void sg_do_add(struct sg_ui *ui)
{
    static const struct sg_question job = {.label = "number or name of the new job:", .answer = add_job};
    static const struct sg_question part = {.label = "number or name of the new part:", .answer = add_part};
    const struct sg_line *line = sg_ui_line(ui);
    if (sg_ui_where(ui) == SG_ON_SHIFT)
        ask_key(ui, SG_KIND_JOB, &job);
    else if (line && (line->target.kind == SG_KIND_STOCK || line->target.kind == SG_KIND_PART))
        ask_key(ui, SG_KIND_PART, &part);
    else
        sg_do_add_stock(ui);
}

void sg_do_add_stock(struct sg_ui *ui)
{
    char key[KEY];
    sg_key_write(ui->kept.shop, sg_ui_place(ui)->about, key, sizeof key);
    add(ui, SG_KIND_STOCK, key, NULL);
}
