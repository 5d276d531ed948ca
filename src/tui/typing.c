/* A field under the fingers. Each key goes into the draft, so that its results show before anything is
 * decided; Enter keeps it, Esc drops it. */
#include "tui/inside.h"

#include "tui/prices.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { VALUE = 260, NAME = 40, PATH = 4000 };

/* ---- what is typed, as a value ---- */

/* A field's name in words. */
static void name_of(const struct sg_field *field, char *out)
{
    snprintf(out, NAME, "%s", field->name);
    for (char *at = out; *at; at++)
        *at = *at == '_' ? ' ' : *at;
}

/* Whether an empty field means none: a text that may be none, and any that is none already, where nothing is
 * taken away. A number that was rubbed out is one that is about to be typed. */
static bool is_cleared(const struct sg_ui *ui)
{
    const struct sg_typing *typing = &ui->typing;
    enum sg_field_type type = typing->field->type;
    bool cleared = (typing->field->flags & SG_FIELD_OPTIONAL) != 0;
    for (int i = 0; i < typing->n && type != SG_FIELD_TEXT && type != SG_FIELD_OUTLINE; i++)
        cleared = cleared && strcmp(typing->before[i], "none") == 0;
    return cleared;
}

/* The text that counts: the word that the list stands on where what is typed is no value of its own. */
static const char *typed_text(struct sg_ui *ui)
{
    struct sg_typed typed;
    const char *text = sg_entry_text(&ui->entry);
    if (!ui->choosing.open || ui->choosing.at < 0)
        return text[strspn(text, " \t")] || !is_cleared(ui) ? text : "none";
    if (text[0] && !ui->choosing.stepped) {
        sg_field_read(ui->typing.field, ui->kept.shop, text, &typed);
        if (typed.state == SG_PARSE_WHOLE)
            return text;
    }
    return sg_choosing_word(ui, ui->choosing.at, NULL);
}

static void value_shown(const struct sg_look *look, struct sg_target target, const struct sg_field *field,
                        char *out, size_t size)
{
    struct sg_value value;
    sg_field_get(field, sg_target_record(look->shop, target), &value);
    sg_field_show(field, look->shop, &value, out, size);
}

/* A job's shift or order: the others stand around it, which the draft does with a whole assignment. */
static void try_move(struct sg_ui *ui, const char *text)
{
    struct sg_typing *typing = &ui->typing;
    struct sg_error error;
    struct sg_change change;
    struct sg_target target;
    char key[1200], assignment[VALUE];
    if (sg_draft_reset(ui->draft, &error) != SG_OK)
        sg_ui_fail(ui, &error);
    sg_field_read(typing->field, ui->kept.shop, text, &typing->typed);
    if (typing->typed.state != SG_PARSE_WHOLE)
        return;
    sg_key_write(ui->kept.shop, typing->targets[0], key, sizeof key);
    snprintf(assignment, sizeof assignment, "%s=%.200s", typing->field->name, text);
    if (sg_draft_set(ui->draft, key, (const char *[]){assignment}, 1, &change, &target, &error) == SG_OK)
        return;
    typing->typed.state = SG_PARSE_WRONG;
    snprintf(typing->typed.text, sizeof typing->typed.text, "%.290s", error.text);
}

/* "quantity 16 -> 20", "thickness of 4 rows -> 12 mm". */
static void change_words(struct sg_ui *ui, char *out, size_t size)
{
    struct sg_typing *typing = &ui->typing;
    char name[NAME], value[VALUE];
    name_of(typing->field, name);
    value_shown(&ui->tried, sg_ui_tried(ui, typing->targets[0]), typing->field, value, sizeof value);
    if (typing->n == 1)
        snprintf(out, size, "%s %.80s -> %.80s", name, typing->before[0], value);
    else
        snprintf(out, size, "%s of %d rows -> %.80s", name, typing->n, value);
}

bool sg_typing_same(struct sg_ui *ui)
{
    struct sg_typing *typing = &ui->typing;
    struct sg_value kept, typed;
    for (int i = 0; i < typing->n; i++) {
        struct sg_target target = sg_ui_tried(ui, typing->targets[i]);
        sg_field_get(typing->field, sg_target_record(ui->kept.shop, typing->targets[i]), &kept);
        sg_field_get(typing->field, sg_target_record(ui->tried.shop, target), &typed);
        if (!sg_field_same(typing->field, &kept, &typed))
            return false;
    }
    return true;
}

static void say_typed(struct sg_ui *ui)
{
    struct sg_typing *typing = &ui->typing;
    char words[VALUE];
    if (typing->told)
        return;
    ui->message[0] = '\0';
    if (typing->typed.state == SG_PARSE_UNFINISHED) {
        const char *said = strncmp(typing->typed.text, "unfinished", 10) == 0 ? "" : "unfinished: ";
        sg_ui_say(ui, SG_ROLE_STALE, "%s%s", said, typing->typed.text);
    } else if (typing->typed.state == SG_PARSE_WRONG) {
        sg_ui_say(ui, SG_ROLE_WRONG, "%s", typing->typed.text);
    } else if (sg_typing_same(ui)) {
        sg_ui_say(ui, SG_ROLE_TEXT, "as in the plan  %s", typing->typed.text);
    } else {
        change_words(ui, words, sizeof words);
        sg_ui_say(ui, typing->typed.odd ? SG_ROLE_ODD : SG_ROLE_TEXT,
                  "%s  %s%s%sEnter keeps it, Esc drops it", words, typing->typed.odd ? "! " : "",
                  typing->typed.text, typing->typed.text[0] ? "  " : "");
    }
}

/* Where the lines were made anew the field stays on its row; false where that is shown no more. */
static bool stand_on_typed(struct sg_ui *ui)
{
    struct sg_typing *typing = &ui->typing;
    struct sg_place *place = sg_ui_place(ui);
    if (!ui->build || place->screen == SG_SCREEN_HELP)
        return true;
    const struct sg_line *line = sg_ui_line(ui);
    return (line && line->row == typing->rows[0] && line->target.kind == typing->field->kind) ||
           sg_ui_stand(ui, typing->field->kind, typing->rows[0]);
}

static void drop_unseen(struct sg_ui *ui)
{
    snprintf(ui->last, sizeof ui->last, "%s", sg_entry_text(&ui->entry));
    sg_typing_drop(ui);
    sg_ui_say(ui, SG_ROLE_ODD, "the row is elsewhere now; the text \"%.80s\" is kept in :last", ui->last);
}

void sg_typing_changed(struct sg_ui *ui)
{
    struct sg_typing *typing = &ui->typing;
    if (!stand_on_typed(ui)) {
        drop_unseen(ui);
        return;
    }
    const char *text = typed_text(ui);
    if (!typing->moves)
        sg_draft_type_rows(ui->draft, typing->targets, typing->n, typing->field, text, &typing->typed);
    else
        try_move(ui, text);
    if (typing->typed.state == SG_PARSE_WHOLE)
        sg_ui_try(ui);
    else
        ui->tried = ui->kept;
    sg_prices_changed(ui);
    say_typed(ui);
    sg_typing_put_aside(ui);
}

/* ---- open ---- */

/* The value as it would be typed; to be freed. */
static char *value_text(struct sg_ui *ui, struct sg_target target, const struct sg_field *field)
{
    char shown[SG_MAX_DAYS * 16]; /* of all that is no text, the longest is a list of days */
    struct sg_value value;
    sg_field_get(field, sg_target_record(ui->kept.shop, target), &value);
    if (field->type == SG_FIELD_TEXT && !value.none)
        return strdup(value.text);
    sg_field_show(field, ui->kept.shop, &value, shown, sizeof shown);
    return strdup(shown);
}

static bool make_room(struct sg_typing *typing)
{
    if (typing->n < typing->room)
        return true;
    size_t room = typing->room > 0 ? (size_t)typing->room * 2 : 16;
    struct sg_target *targets = realloc(typing->targets, room * sizeof *targets);
    typing->targets = targets ? targets : typing->targets;
    int64_t *rows = realloc(typing->rows, room * sizeof *rows);
    typing->rows = rows ? rows : typing->rows;
    char **before = realloc(typing->before, room * sizeof *before);
    typing->before = before ? before : typing->before;
    typing->room = targets && rows && before ? (int)room : typing->room;
    return targets && rows && before;
}

static bool add_target(struct sg_ui *ui, struct sg_target target, const struct sg_field *field)
{
    struct sg_typing *typing = &ui->typing;
    char *before = make_room(typing) ? value_text(ui, target, field) : NULL;
    if (!before)
        return false;
    typing->targets[typing->n] = target;
    typing->rows[typing->n] = sg_row_id(ui->kept.shop, target);
    typing->before[typing->n++] = before;
    return true;
}

static void forget_targets(struct sg_typing *typing)
{
    while (typing->n > 0)
        free(typing->before[--typing->n]);
}

/* The row one stands on; with it all marked rows of its kind, if it is marked. */
static bool take_targets(struct sg_ui *ui, const struct sg_line *line, const struct sg_field *field)
{
    bool marked = false;
    forget_targets(&ui->typing);
    for (int i = 0; i < ui->n_marks; i++)
        marked = marked || (ui->marks[i].kind == line->target.kind && ui->marks[i].row == line->row);
    if (!add_target(ui, line->target, field))
        return false;
    for (int i = 0; marked && i < ui->n_marks; i++) {
        int32_t index = ui->marks[i].kind == line->target.kind && ui->marks[i].row != line->row
                            ? sg_row_index(ui->kept.shop, ui->marks[i].kind, ui->marks[i].row)
                            : SG_UNKNOWN;
        if (index != SG_UNKNOWN && !add_target(ui, (struct sg_target){line->target.kind, index}, field))
            return false;
    }
    return true;
}

static bool has_list(const struct sg_field *field)
{
    return field->type == SG_FIELD_CHOICE || field->type == SG_FIELD_MATERIAL ||
           field->type == SG_FIELD_HEAD || field->type == SG_FIELD_SHIFT || field->type == SG_FIELD_EDGE;
}

static void start(struct sg_ui *ui, const struct sg_field *field, const char *text)
{
    struct sg_typing *typing = &ui->typing;
    struct sg_value value;
    sg_field_get(field, sg_target_record(ui->kept.shop, typing->targets[0]), &value);
    typing->open = true;
    ui->proposal = false;
    typing->steps = typing->told = false;
    ui->touched = true;
    typing->field = field;
    typing->moves =
        field->kind == SG_KIND_JOB && (field->type == SG_FIELD_SHIFT || strcmp(field->name, "order") == 0);
    while (typing->moves && typing->n > 1) /* one job at a time */
        free(typing->before[--typing->n]);
    ui->entry.most = field->type == SG_FIELD_TEXT      ? (size_t)field->max
                     : field->type == SG_FIELD_OUTLINE ? PATH
                                                       : SG_NUMBER_TEXT_MAX;
    ui->news[0] = '\0';
    bool empty = has_list(field) || value.none;
    const char *sum = sg_sums_text(ui, field, typing->rows[0], &value);
    sg_entry_set(&ui->entry, text ? text : empty ? "" : sum ? sum : typing->before[0]);
    if (has_list(field))
        sg_choosing_start(ui);
    sg_prices_start(ui);
    sg_typing_changed(ui);
}

void sg_typing_open(struct sg_ui *ui, const char *text)
{
    const struct sg_line *line = sg_ui_line(ui);
    const struct sg_column *column = sg_ui_column(ui);
    const struct sg_field *field = column ? sg_column_field(line, column) : NULL;
    if (!field) {
        sg_ui_say(ui, SG_ROLE_TEXT,
                  column ? "This is computed: w says from what. Inputs can be typed over."
                         : "No field here.");
        return;
    }
    if (take_targets(ui, line, field))
        start(ui, field, text);
    else
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory for a field");
}

/* ---- close ---- */

static void close_field(struct sg_ui *ui)
{
    ui->typing.open = false;
    sg_choosing_close(ui);
    sg_entry_clear(&ui->entry);
    sg_typing_take_aside(ui);
}

void sg_typing_drop(struct sg_ui *ui)
{
    close_field(ui);
    ui->message[0] = '\0';
    sg_ui_forget(ui);
}

void sg_typing_free(struct sg_ui *ui)
{
    forget_targets(&ui->typing);
    free(ui->typing.targets);
    free(ui->typing.rows);
    free(ui->typing.before);
    sg_entry_free(&ui->entry);
    sg_typing_aside_free(ui);
}

/* ---- keep ---- */

/* What the desk is asked to keep: one edit for each row. */
struct asking {
    struct sg_edit *edits;
    struct sg_change *changes;
    char *longer; /* the assignment, the same for all */
};

static bool ask(struct sg_ui *ui, struct asking *asking)
{
    struct sg_typing *typing = &ui->typing;
    size_t n = (size_t)typing->n;
    asking->edits = calloc(n, sizeof *asking->edits);
    asking->changes = calloc(n, sizeof *asking->changes);
    if (!asking->edits || !asking->changes)
        return false;
    int length = snprintf(NULL, 0, "%s=%s", typing->field->name, typed_text(ui));
    asking->longer = malloc((size_t)length + 1);
    if (!asking->longer)
        return false;
    sprintf(asking->longer, "%s=%s", typing->field->name, typed_text(ui));
    for (size_t i = 0; i < n; i++) {
        struct sg_edit *edit = &asking->edits[i];
        sg_key_write(ui->kept.shop, typing->targets[i], edit->key, sizeof edit->key);
        edit->longer = asking->longer;
        edit->before = typing->before[i];
    }
    return true;
}

static void say_kept(struct sg_ui *ui, const struct sg_change *change, int n)
{
    char name[NAME];
    name_of(ui->typing.field, name);
    if (n == 1)
        sg_ui_say(ui, change->odd ? SG_ROLE_ODD : SG_ROLE_TEXT,
                  "%s %.80s -> %.80s kept.%s%.200s  u takes it back", name, change->before, change->after,
                  change->say[0] ? "  " : "", change->say);
    else
        sg_ui_say(ui, change->odd ? SG_ROLE_ODD : SG_ROLE_TEXT,
                  "%s of %d rows -> %.80s kept.  u takes it back", name, n, change->after);
}

/* Enter again keeps ours over what was shown now, and over nothing that comes later. */
static void say_clash(struct sg_ui *ui, const struct sg_clash *clash, int64_t row)
{
    struct sg_typing *typing = &ui->typing;
    for (int i = 0; i < typing->n; i++) {
        char *theirs = typing->rows[i] == row ? value_text(ui, typing->targets[i], typing->field) : NULL;
        if (!theirs)
            continue;
        free(typing->before[i]);
        typing->before[i] = theirs;
    }
    sg_ui_say(ui, SG_ROLE_WRONG,
              "%s set %.80s while you typed %.80s. Enter again keeps %.80s, Esc keeps %.80s",
              clash->step.id ? clash->step.who : "somebody", clash->theirs, clash->yours, clash->yours,
              clash->theirs);
    typing->told = true;
    ui->wish = SG_WISH_BELL;
}

static bool keep_asked(struct sg_ui *ui, struct asking *asking)
{
    struct sg_clash clash;
    struct sg_error error;
    enum sg_status status =
        sg_desk_keep(ui->desk, asking->edits, ui->typing.n, NULL, asking->changes, &clash, &error);
    if (status == SG_OK) {
        int n = ui->typing.n;
        close_field(ui);
        sg_ui_refresh(ui);
        for (int i = 0; i < n; i++)
            sg_sums_keep(ui, ui->typing.field, ui->typing.rows[i], strchr(asking->longer, '=') + 1);
        say_kept(ui, &asking->changes[0], n);
        return true;
    }
    /* The desk has read the file anew either way. */
    int64_t row = status == SG_NO ? ui->typing.rows[clash.edit] : 0;
    sg_ui_refresh(ui);
    if (status == SG_NO)
        say_clash(ui, &clash, row);
    else
        sg_ui_say(ui, SG_ROLE_WRONG, "not kept: %s", sg_ui_reason(ui, &error));
    return false;
}

bool sg_typing_keep(struct sg_ui *ui)
{
    struct sg_typing *typing = &ui->typing;
    struct asking asking = {0};
    if (typing->typed.state != SG_PARSE_WHOLE) {
        const char *text = sg_entry_text(&ui->entry);
        if (!ui->choosing.open && typing->typed.at <= strlen(text))
            ui->entry.cursor = typing->typed.at;
        ui->wish = SG_WISH_BELL;
        return false;
    }
    if (sg_typing_same(ui)) {
        sg_typing_drop(ui);
        return true;
    }
    if (ui->how.read_only) {
        sg_ui_say(ui, SG_ROLE_WRONG, "opened to read only: nothing is kept. Esc drops it");
        return false;
    }
    bool kept = false;
    if (ask(ui, &asking))
        kept = keep_asked(ui, &asking);
    else
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory to keep %d rows", typing->n);
    free(asking.edits);
    free(asking.changes);
    free(asking.longer);
    return kept;
}

void sg_typing_leave(struct sg_ui *ui)
{
    if (!ui->typing.open)
        return;
    bool whole = ui->typing.typed.state == SG_PARSE_WHOLE && !ui->how.read_only;
    if (whole && sg_typing_keep(ui))
        return;
    if (whole) /* a clash or a full disk: not to be passed over */
        return;
    char why[SG_MESSAGE];
    snprintf(ui->last, sizeof ui->last, "%s", sg_entry_text(&ui->entry));
    snprintf(why, sizeof why, "%s", ui->how.read_only ? "opened to read only" : ui->typing.typed.text);
    sg_typing_drop(ui);
    if (ui->last[0])
        sg_ui_say(ui, SG_ROLE_WRONG, "\"%.60s\" not kept: %.300s  :last brings it back", ui->last, why);
}
