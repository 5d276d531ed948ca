/* Where a number comes from: one line for each figure of it, down to the fields that somebody typed. */
#include "tui/screens.h"

#include "exchange/render.h"
#include "tui/what_ifs.h"
#include "tui/wrapped.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NAME = 60, KEY = 1200, STEP = 2, HANGING = 4 };

struct own {
    char name[NAME]; /* of the number, or of the field */
    struct sg_arena arena;
    struct sg_why why; /* of the lines that were built last */
    bool tried;        /* of what is tried, not of the plan */
};

static const struct sg_look *looked_at(const struct sg_ui *ui)
{
    return sg_ui_differs(ui) ? &ui->tried : &ui->kept;
}

/* ---- a line of it in words ---- */

static bool is_under_fingers(const struct sg_ui *ui, const struct sg_why_line *line)
{
    const struct sg_typing *typing = &ui->typing;
    bool under = false;
    for (int i = 0; typing->open && line->field == typing->field && i < typing->n; i++)
        under = under || typing->rows[i] == sg_row_id(looked_at(ui)->shop, line->from);
    return under;
}

/* Who set the field of a line, and when. A history that cannot be read says nothing. */
static struct sg_told who_set(struct sg_ui *ui, const struct sg_why_line *line, struct sg_step_told *step)
{
    struct sg_error error;
    struct sg_told told = {.known = false};
    if (!line->field || is_under_fingers(ui, line) ||
        sg_store_last_set(sg_desk_store(ui->desk), line->from.kind,
                          sg_row_id(looked_at(ui)->shop, line->from), line->field, step, &error) != SG_OK)
        return told;
    return (struct sg_told){.known = true, .by = step->who, .words = step->words, .at = step->at};
}

/* What `why` says of the line, and the formula and its numbers where they are wanted, below a line that only
 * lends its units: where each begins is known by what is left out. */
static size_t render(struct sg_ui *ui, const struct own *own, int index, const struct sg_told *told,
                     bool formula, bool numbers, struct sg_text *out)
{
    const struct sg_why_line *line = &own->why.lines[index];
    int above = sg_why_above(&own->why, index);
    struct sg_why_line lines[] = {{.name = "",
                                   .symbol = "",
                                   .shape = SG_WHY_WORDS,
                                   .words = "",
                                   .basis = SG_UNKNOWN,
                                   .at = (double)NAN,
                                   .own_units = above >= 0 && own->why.lines[above].own_units},
                                  *line};
    lines[1].depth = 1;
    lines[1].formula = formula ? line->formula : NULL;
    lines[1].numbers = numbers ? line->numbers : NULL;
    if (is_under_fingers(ui, line))
        lines[1].note = "typed now, not in the plan";
    const struct sg_why pair = {lines, 2, own->why.epoch};
    const struct sg_told both[] = {{.known = false}, *told};
    sg_text_free(out);
    sg_why_text(out, looked_at(ui)->shop, "", &pair, both);
    return out->length;
}

/* Lines of the renderer as one. */
static void unwrap(char *text)
{
    char *to = text;
    for (const char *from = text; *from;) {
        if (*from == '\n') {
            from += 1 + strspn(from + 1, " ");
            if (*from)
                *to++ = ' ';
        } else {
            *to++ = *from++;
        }
    }
    *to = '\0';
}

static bool add_part(struct sg_ui *ui, enum sg_role role, int indent, char *text)
{
    text += strspn(text, " ");
    unwrap(text);
    return !*text || sg_line_wrapped(ui, role, indent, indent + HANGING, text);
}

/* Part of the rendered text, cut out at its ends. */
static bool add_between(struct sg_ui *ui, enum sg_role role, int indent, const struct sg_text *text,
                        size_t from, size_t to)
{
    char *part = sg_arena_text(&ui->arena, text->data + from, to - from);
    return part && add_part(ui, role, indent, part);
}

static bool add_line(struct sg_ui *ui, const struct own *own, int index)
{
    const struct sg_why_line *line = &own->why.lines[index];
    struct sg_step_told step;
    const struct sg_told told = who_set(ui, line, &step);
    struct sg_text text = {0};
    int indent = STEP * line->depth, first = ui->n_lines;
    size_t words = render(ui, own, index, &told, false, false, &text);
    size_t formula = render(ui, own, index, &told, true, false, &text);
    size_t numbers = render(ui, own, index, &told, true, true, &text);
    const char *start = text.data && !text.failed ? strchr(text.data, '\n') : NULL;
    bool good = start &&
                add_between(ui, line->field ? SG_ROLE_INPUT : SG_ROLE_RESULT, indent, &text,
                            (size_t)(start + 1 - text.data), words) &&
                add_between(ui, SG_ROLE_LABEL, indent + HANGING, &text, words, formula) &&
                add_between(ui, SG_ROLE_LABEL, indent + HANGING, &text, formula, numbers);
    sg_text_free(&text);
    for (int i = first; i < ui->n_lines; i++) { /* one stays on it when it is wrapped in another way */
        ui->lines[i].first = index;
        ui->lines[i].row = index + 1;
    }
    return good;
}

/* ---- all of it ---- */

static enum sg_status explain(struct sg_ui *ui, struct own *own, struct sg_error *error)
{
    struct sg_target about = sg_ui_place(ui)->about;
    own->tried = sg_ui_differs(ui);
    own->why.n_lines = 0;
    sg_arena_free(&own->arena);
    if (own->tried)
        about = sg_ui_tried(ui, about);
    if (about.index == SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA, "the row is not there in what is tried");
    return sg_why(looked_at(ui)->shop, about, own->name, &own->arena, &own->why, error);
}

static void build(struct sg_ui *ui)
{
    struct own *own = sg_ui_place(ui)->own;
    struct sg_error error;
    if (!own)
        return;
    if (explain(ui, own, &error) != SG_OK)
        sg_line_wrapped(ui, SG_ROLE_WRONG, 0, 0, error.text);
    for (int i = 0; i < own->why.n_lines; i++)
        if (!add_line(ui, own, i)) {
            sg_ui_say(ui, SG_ROLE_WRONG, "no memory for all of the explanation");
            return;
        }
}

/* The line of the explanation on which one stands; NULL where it could not be made. */
static const struct sg_why_line *line_here(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    const struct own *own = sg_ui_place(ui)->own;
    return line && own && line->first < own->why.n_lines ? &own->why.lines[line->first] : NULL;
}

static void title(struct sg_ui *ui, char *out, size_t size)
{
    const struct own *own = sg_ui_place(ui)->own;
    char key[KEY], name[NAME];
    sg_key_write(ui->kept.shop, sg_ui_place(ui)->about, key, sizeof key);
    snprintf(name, sizeof name, "%s", own ? own->name : "");
    for (char *at = name; *at; at++)
        *at = *at == '_' ? ' ' : *at;
    snprintf(out, size, "WHY  %s of %.200s", name, key);
}

static void second(struct sg_ui *ui, char *out, size_t size)
{
    if (!sg_ui_differs(ui))
        snprintf(out, size,
                 ui->typing.open ? "In the plan: what is typed does not count yet." : "In the plan.");
    else if (ui->typing.open)
        snprintf(out, size, "With %s %.100s, which is typed and not in the plan.", ui->typing.field->name,
                 sg_entry_text(&ui->entry));
    else
        snprintf(out, size, "Of the what-if, which is not in the plan.");
}

static void advice(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_why_line *line = line_here(ui);
    char key[KEY];
    if (!line)
        return;
    if (line->has_from)
        sg_key_write(looked_at(ui)->shop, line->from, key, sizeof key);
    if (line->field)
        snprintf(out, size, "Enter goes to %s of %.200s, where it is set.", line->field->name, key);
    else if (line->more)
        snprintf(out, size, "Enter explains %s of %.200s.", line->more, key);
}

static void legend(struct sg_ui *ui, char *out, size_t size)
{
    (void)ui;
    snprintf(out, size, "Below each formula what goes into it. recalled, estimate: time your own cuts.");
}

/* ---- going on from it ---- */

static void open_why(struct sg_ui *ui, struct sg_target target, const char *name)
{
    if (!sg_ui_open(ui, SG_SCREEN_WHY, target))
        return;
    struct own *own = calloc(1, sizeof *own);
    if (!own) {
        sg_ui_back(ui);
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory for an explanation");
        return;
    }
    snprintf(own->name, sizeof own->name, "%s", name);
    sg_ui_place(ui)->own = own;
}

/* The plan again instead of a what-if: where one goes from here nothing says that it is tried. */
static void take_out_what_if(struct sg_ui *ui)
{
    struct sg_error error;
    if (sg_draft_reset(ui->draft, &error) != SG_OK)
        sg_ui_fail(ui, &error);
    ui->tried = ui->kept;
}

static void enter(struct sg_ui *ui)
{
    const struct sg_why_line *line = line_here(ui);
    if (!line || (!line->field && !line->more)) {
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing to set here: it comes from the lines below it.");
        return;
    }
    const struct sg_field *field = line->field;
    const char *more = line->more;
    int64_t row = sg_row_id(looked_at(ui)->shop, line->from);
    struct sg_target target = {line->from.kind, sg_row_index(ui->kept.shop, line->from.kind, row)};
    if (target.index == SG_UNKNOWN) {
        sg_ui_say(ui, SG_ROLE_TEXT, "That row is not in the plan.");
    } else if (!field) {
        open_why(ui, target, more);
    } else if (ui->typing.open) {
        sg_ui_say(ui, SG_ROLE_TEXT, "Keep or drop what is typed first.");
    } else {
        take_out_what_if(ui);
        sg_ui_go_to_field(ui, target, field->name);
    }
}

static void leave(struct sg_ui *ui)
{
    struct own *own = sg_ui_place(ui)->own;
    if (own)
        sg_arena_free(&own->arena);
    free(own);
}

const struct sg_screen sg_screen_why = {
    .name = "Why",
    .title = title,
    .second = second,
    .build = build,
    .advice = advice,
    .legend = legend,
    .enter = enter,
    .leave = leave,
    .step = sg_step_pages,
};

/* ---- asking ---- */

/* What is explained where one stands on no cell. */
static const struct {
    enum sg_screen_id screen;
    enum sg_kind kind;
    const char *number;
} without_cells[] = {
    {SG_SCREEN_HOPPER, SG_KIND_SHIFT, "next_refill"},
    {SG_SCREEN_WHAT_IF, SG_KIND_SHIFT, "ends"},
    {SG_SCREEN_SHEET, SG_KIND_JOB, "sheets"},
};

static void why_of_screen(struct sg_ui *ui)
{
    enum sg_screen_id screen = sg_ui_place(ui)->screen;
    for (size_t i = 0; i < sizeof without_cells / sizeof *without_cells; i++) {
        enum sg_kind kind = without_cells[i].kind;
        int32_t index = kind == SG_KIND_SHIFT ? ui->shift : sg_ui_job(ui);
        if (without_cells[i].screen == screen && index != SG_UNKNOWN) {
            open_why(ui, (struct sg_target){kind, index}, without_cells[i].number);
            return;
        }
    }
    sg_ui_say(ui, SG_ROLE_TEXT, "Stand on a figure: then this says where it comes from.");
}

static void explain_cell(struct sg_ui *ui, const struct sg_line *line, const struct sg_column *column)
{
    char words[SG_MESSAGE] = "";
    if (column->explain)
        column->explain(&ui->tried, sg_ui_tried(ui, line->target), words, sizeof words);
    if (words[0])
        sg_ui_say(ui, SG_ROLE_TEXT, "%s", words);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "%.*s stands in the job: Enter opens it.",
                  (int)strcspn(column->title, "%"), column->title);
}

void sg_do_why(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    const struct sg_column *column = sg_ui_column(ui);
    sg_what_if_stand(ui);
    if (!column)
        why_of_screen(ui);
    else if (column->number)
        open_why(ui, line->target, column->number);
    else if (column->field)
        open_why(ui, line->target, column->field);
    else
        explain_cell(ui, line, column);
}
