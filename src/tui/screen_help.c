/* Help: what can be pressed where one came from, made of the table of actions; how values are typed. */
#include "tui/screens.h"

#include "tui/wrapped.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEYS = 20, WORDS = 400, KEY = 1200, MARGIN = 2 };

/* What one stood on when help was asked for. */
struct own {
    const char *screen; /* its name */
    unsigned where;     /* a bit of enum sg_where */
    const struct sg_field *field;
    const char *number;       /* as `why` calls it */
    char key[KEY];            /* of the row; "" */
    char cut[2 * SG_MESSAGE]; /* what had no room below; "" */
};

/* ---- what is typed, in words that no table has ---- */

static const char *const typing_rules[] = {
    ("A number may carry its unit: 6mm, 1/4in, 2.5 ft, 90s, 1:30, 0.7lb/min, 400 in/min, 55ksi, 3bag. "
     "Without one it has the unit of the field."),
    ("Fractions: 1/2, 1-1/2, 1 1/2in. A sum begins with =, and may mix units: =4*5, =24-3, =2*6mm+1/8in, "
     "with + - * / and brackets."),
    ("4,5 is read as 4.5 and said so; 1,200 is refused: type 1200 or 1.2. The whole text must make sense, "
     "else nothing is taken."),
    "0 is a value. Not known is not 0: none empties a field that may be empty.",
    ("While you type, results show what the value would make of them; the plan and the file change only when "
     "it is kept."),
};

static const char *const mark_meanings[] = {
    "* behind a value: it differs from the plan, because of what is typed or of a what-if.",
    "? behind a value: older than what is typed, which is not whole yet or wrong.",
    ("! at a job: something is missing or does not go together. ! at a typed value: possible, but unusual; "
     "it is kept."),
    "(in brackets): not typed but taken from the material, the machine or the model.",
    "> the row on which you stand. + a marked row. ~ a text goes on. ### a figure has no room.",
    "LATE: done after its due time. R2: two refills fall into the job.",
    ("Basis of a figure, the best first: typed, shop (from your own times), published, derived, recalled, "
     "practice, estimate. Time your own cuts before you promise on recalled or estimate."),
};

static const char usual_caution[] =
    "The usual caution: cutting, work at high pressure and at the hopper are for licensed or trained people. "
    "The "
    "rules of the place, the maker's manual and the insurer go first; a plan is arithmetic and knows none of "
    "them.";

static void add_texts(struct sg_ui *ui, const char *heading, const char *const *texts, size_t n)
{
    sg_line_words(ui, SG_ROLE_LABEL, true, "%s", "");
    sg_line_words(ui, SG_ROLE_TITLE, true, "%s", heading);
    for (size_t i = 0; i < n; i++)
        sg_line_wrapped(ui, SG_ROLE_TEXT, 0, 2, texts[i]);
}

/* ---- the table of actions ---- */

/* The screens on which an action works, in a bracket. */
static void screens_of(const struct sg_action *action, char *out, size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    for (int i = 0; i < SG_SCREENS && used < size; i++)
        if (action->where & (1u << i))
            used +=
                (size_t)snprintf(out + used, size - used, "%s%s", used ? ", " : " (", sg_screens[i]->name);
    if (used < size)
        snprintf(out + used, size - used, "%s", used ? ")" : " (while typing)");
}

static void add_action(struct sg_ui *ui, const struct sg_action *action, bool screens)
{
    char line[3 * WORDS], where[WORDS] = "", name[WORDS];
    snprintf(name, sizeof name, ":%s", action->name);
    if (screens && action->group != SG_GROUP_TYPE)
        screens_of(action, where, sizeof where);
    snprintf(line, sizeof line, "%-*s  %s%s", KEYS, action->keys[0] ? action->keys : name, action->help,
             where);
    sg_line_wrapped(ui, SG_ROLE_TEXT, 0, KEYS + 2, line);
}

static bool is_listed(const struct sg_action *action, unsigned where, bool elsewhere)
{
    return elsewhere ? !(action->where & where) : (action->where & where) != 0;
}

/* A group's actions that work at a place, or those that do not. */
static void add_group(struct sg_ui *ui, enum sg_action_group group, unsigned where, bool elsewhere)
{
    bool any = false;
    for (const struct sg_action *action = sg_actions; action->name; action++) {
        if (action->group != group || !is_listed(action, where, elsewhere))
            continue;
        if (!any) {
            sg_line_words(ui, SG_ROLE_LABEL, true, "%s", "");
            sg_line_words(ui, SG_ROLE_TITLE, true, "%s%s", sg_group_word(group),
                          elsewhere ? ", elsewhere" : "");
        }
        any = true;
        add_action(ui, action, elsewhere);
    }
}

/* ---- what one stands on ---- */

static void add_field(struct sg_ui *ui, const struct own *own)
{
    char words[2 * WORDS + KEY], range[WORDS];
    sg_field_range(own->field, ui->kept.shop, range, sizeof range);
    const struct sg_unit *unit = sg_field_unit(own->field, ui->kept.shop->units);
    snprintf(words, sizeof words, "You are on: %s of %.200s: %s.", own->field->name, own->key,
             own->field->meaning);
    sg_line_wrapped(ui, SG_ROLE_TEXT, 0, 2, words);
    snprintf(words, sizeof words, "Accepted: %s%s%s%s", range,
             unit && unit->name[0] ? "; without a unit: " : "", unit && unit->name[0] ? unit->name : "",
             own->field->flags & SG_FIELD_OPTIONAL ? "; none clears it" : "");
    sg_line_wrapped(ui, SG_ROLE_TEXT, 0, 2, words);
}

/* "Other screens: g then  s shift  j job ...", on the first page; parted between them. */
static void add_ways(struct sg_ui *ui, unsigned where)
{
    static const char first[] = "Other screens: g then", more[] = "  ";
    char line[WORDS];
    int used = snprintf(line, sizeof line, "%s", first), width = ui->columns - MARGIN;
    for (const struct sg_action *action = sg_actions; action->name; action++) {
        char way[KEYS + WORDS / 4];
        const char *word = sg_action_second(action, 'g', where);
        if (!word || action->group != SG_GROUP_GO)
            continue;
        int length = snprintf(way, sizeof way, "  %s %s", action->keys + 1, word);
        if (used + length > width || used + length >= (int)sizeof line) {
            sg_line_words(ui, SG_ROLE_TEXT, true, "%s", line);
            used = snprintf(line, sizeof line, "%s", more);
        }
        used += snprintf(line + used, sizeof line - (size_t)used, "%s", way);
    }
    sg_line_words(ui, SG_ROLE_TEXT, true, "%s", line);
}

static void build(struct sg_ui *ui)
{
    const struct own *own = sg_ui_place(ui)->own;
    if (!own)
        return;
    if (own->cut[0])
        sg_line_wrapped(ui, SG_ROLE_ODD, 0, 2, own->cut);
    if (own->field)
        add_field(ui, own);
    else if (own->number)
        sg_line_words(ui, SG_ROLE_TEXT, true, "You are on: %s of %.200s, which is computed.", own->number,
                      own->key);
    add_ways(ui, own->where);
    for (int group = 0; group < SG_GROUPS; group++)
        add_group(ui, (enum sg_action_group)group, own->where, false);
    add_texts(ui, "Values", typing_rules, sizeof typing_rules / sizeof *typing_rules);
    add_texts(ui, "Marks", mark_meanings, sizeof mark_meanings / sizeof *mark_meanings);
    for (int group = 0; group < SG_GROUPS; group++)
        add_group(ui, (enum sg_action_group)group, own->where, true);
    sg_line_words(ui, SG_ROLE_LABEL, true, "%s", "");
    sg_line_wrapped(ui, SG_ROLE_TEXT, 0, 2, usual_caution);
}

/* Looks at the place below: its lines are still there to be asked. */
static void look_below(struct sg_ui *ui, struct own *own)
{
    const struct sg_place *below = &ui->places[ui->depth - 2];
    own->screen = sg_screens[below->screen]->name;
    own->where = ui->question ? SG_IN_LINE : ui->typing.open ? SG_IN_FIELD : 1u << below->screen;
    ui->depth--;
    const struct sg_line *line = sg_ui_line(ui);
    const struct sg_column *column = sg_ui_column(ui);
    if (line && column && line->target.index != SG_UNKNOWN) {
        own->field = sg_column_field(line, column);
        own->number = column->number;
        sg_key_write(ui->kept.shop, line->target, own->key, sizeof own->key);
    }
    if (ui->typing.open) {
        own->field = ui->typing.field;
        sg_key_write(ui->kept.shop, ui->typing.targets[0], own->key, sizeof own->key);
    }
    ui->depth++;
    ui->build = true;
}

static bool open(struct sg_ui *ui)
{
    struct own *own = calloc(1, sizeof *own);
    if (!own || ui->depth < 2) {
        free(own);
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory for help");
        return false;
    }
    look_below(ui, own);
    snprintf(own->cut, sizeof own->cut, "%s%s", ui->cut[0] ? "In full: " : "", ui->cut);
    sg_ui_place(ui)->own = own;
    return true;
}

static void title(struct sg_ui *ui, char *out, size_t size)
{
    const struct own *own = sg_ui_place(ui)->own;
    bool typed = own->where & (SG_IN_FIELD | SG_IN_LINE);
    snprintf(out, size, "HELP  %s", typed ? "while something is typed" : own->screen);
}

static void second(struct sg_ui *ui, char *out, size_t size)
{
    (void)ui;
    snprintf(out, size, "Keys of this place first, those of others below. Nothing is lost by leaving.");
}

static void advice(struct sg_ui *ui, char *out, size_t size)
{
    static const char *const names[] = {"page-down", "find", "back"};
    char keys[3][24];
    int rows = ui->body.rows > 2 ? ui->body.rows - 1 : 1, pages = (ui->n_lines - 1) / rows + 1;
    for (int i = 0; i < 3; i++)
        sg_action_key(sg_action_named(names[i]), keys[i], sizeof keys[i]);
    snprintf(out, size, "Page %d of %d.  %s next page  %s find  %s back", sg_ui_place(ui)->line / rows + 1,
             pages, keys[0], keys[1], keys[2]);
}

const struct sg_screen sg_screen_help = {
    .name = "Help",
    .title = title,
    .second = second,
    .build = build,
    .advice = advice,
    .enter = sg_ui_back,
    .open = open,
    .step = sg_step_pages,
};
