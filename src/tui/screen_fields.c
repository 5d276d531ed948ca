/* All fields of one row, each with its meaning; under the machine, the way to all other rows that have no
 * screen of their own. */
#include "tui/screens.h"

#include "tui/actuals.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIELDS = 64, NAME = 32, TITLE_COLUMNS = 22 };

/* One line for each field: made from the field table. */
struct own {
    struct sg_column columns[FIELDS];
    char titles[FIELDS][NAME];
    struct sg_layout layout;
};

/* Where the name that is typed in commands says too little by itself. */
static const struct {
    enum sg_kind kind;
    const char *field, *label;
} labels[] = {
    {SG_KIND_MACHINE, "z_lift", "head up and down"},     {SG_KIND_MACHINE, "hopper", "hopper holds"},
    {SG_KIND_MACHINE, "hopper_level", "level at start"}, {SG_KIND_MACHINE, "bag", "a bag weighs"},
    {SG_KIND_MACHINE, "reorder", "bags to be left"},     {SG_KIND_MACHINE, "load_fixed", "load, at least"},
    {SG_KIND_MACHINE, "load_mass", "a minute more per"}, {SG_KIND_MACHINE, "refill", "refill time"},
    {SG_KIND_MACHINE, "refill_per_bag", "time per bag"}, {SG_KIND_MACHINE, "edge_error", "error, edge 1-5"},
    {SG_KIND_MACHINE, "rapid", "rapid speed"},           {SG_KIND_PART, "edge_least", "coarsest edge"},
};

static const char *label_of(const struct sg_field *field)
{
    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++)
        if (labels[i].kind == field->kind && strcmp(labels[i].field, field->name) == 0)
            return labels[i].label;
    return field->name;
}

static bool open(struct sg_ui *ui)
{
    struct sg_place *place = sg_ui_place(ui);
    struct own *own = calloc(1, sizeof *own);
    int n;
    const struct sg_field *fields = sg_fields(place->about.kind, &n);
    if (!own) {
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory for the fields");
        return false;
    }
    own->layout = (struct sg_layout){
        .form = true, .cell = 10000, .columns = own->columns, .n = n < FIELDS ? n : FIELDS};
    for (int i = 0; i < own->layout.n; i++) {
        snprintf(own->titles[i], NAME, "%-*s", TITLE_COLUMNS, label_of(&fields[i]));
        for (char *at = own->titles[i]; *at; at++)
            *at = *at == '_' ? ' ' : *at;
        own->columns[i] = (struct sg_column){.title = own->titles[i], .field = fields[i].name};
    }
    place->own = own;
    return true;
}

/* ---- rows that have no screen of their own ---- */

static void add_rows(struct sg_ui *ui, enum sg_kind kind, int32_t n)
{
    char key[300];
    for (int32_t i = 0; i < n; i++) {
        struct sg_target target = {kind, i};
        sg_key_write(ui->kept.shop, target, key, sizeof key);
        if (!sg_line_words(ui, SG_ROLE_TEXT, true, "%s", key))
            return;
        ui->lines[ui->n_lines - 1].target = target;
        ui->lines[ui->n_lines - 1].row = sg_row_id(ui->kept.shop, target);
    }
}

static void build(struct sg_ui *ui)
{
    struct own *own = sg_ui_place(ui)->own;
    const struct sg_shop *shop = ui->kept.shop;
    if (!own)
        return;
    if (sg_ui_place(ui)->about.kind != SG_KIND_MACHINE) {
        sg_line_form(ui, &own->layout, sg_ui_place(ui)->about);
        return;
    }
    sg_line_words(ui, SG_ROLE_LABEL, false, "Enter opens a head, a shift, a chore, the rates, a material:");
    add_rows(ui, SG_KIND_HEAD, shop->n_heads);
    add_rows(ui, SG_KIND_SHIFT, shop->n_shifts);
    add_rows(ui, SG_KIND_CHORE, shop->n_chores);
    add_rows(ui, SG_KIND_RATES, 1);
    sg_line_words(ui, SG_ROLE_LABEL, false, "The machine; materials are below its fields:");
    sg_line_form(ui, &own->layout, sg_ui_place(ui)->about);
    sg_line_words(ui, SG_ROLE_LABEL, false, "Materials:");
    add_rows(ui, SG_KIND_MATERIAL, shop->n_materials);
}

bool sg_fields_stand(struct sg_ui *ui, const char *field)
{
    struct own *own = sg_ui_place(ui)->own;
    if (ui->build)
        sg_ui_build(ui);
    for (int i = 0; own && i < ui->n_lines; i++) {
        const struct sg_line *line = &ui->lines[i];
        if (line->layout != &own->layout || strcmp(own->columns[line->first].field, field) != 0)
            continue;
        sg_ui_place(ui)->line = i;
        sg_ui_place(ui)->cell = line->first;
        return true;
    }
    return false;
}

static void enter(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    if (line && !line->layout)
        sg_ui_open(ui, SG_SCREEN_FIELDS, line->target);
    else
        sg_typing_open(ui, NULL);
}

static void title(struct sg_ui *ui, char *out, size_t size)
{
    char key[300];
    struct sg_target about = sg_ui_place(ui)->about;
    sg_key_write(ui->kept.shop, about, key, sizeof key);
    if (about.kind == SG_KIND_MACHINE)
        snprintf(out, size, "MACHINE %s, heads, shifts, materials", ui->kept.shop->machine.name);
    else
        snprintf(out, size, "ALL FIELDS of %s", key);
}

/* Of what was noted: the answers are those of the rest, which it changes. */
static bool answered(struct sg_ui *ui, struct sg_look *look, char *behind, size_t size)
{
    enum sg_kind kind = sg_ui_place(ui)->about.kind;
    return (kind == SG_KIND_CLOCK || kind == SG_KIND_RECORD) && sg_actuals_answered(ui, look, behind, size);
}

static void advice(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_line *line = sg_ui_line(ui);
    const struct sg_column *column = sg_ui_column(ui);
    if (column)
        snprintf(out, size, "%s", sg_column_field(line, column)->meaning);
}

static void legend(struct sg_ui *ui, char *out, size_t size)
{
    char range[300];
    const struct sg_line *line = sg_ui_line(ui);
    const struct sg_column *column = sg_ui_column(ui);
    if (!column)
        return;
    sg_field_range(sg_column_field(line, column), ui->kept.shop, range, sizeof range);
    snprintf(out, size, "%s", range);
}

const struct sg_screen sg_screen_fields = {
    .name = "Fields",
    .answers = true,
    .answered = answered,
    .title = title,
    .build = build,
    .advice = advice,
    .legend = legend,
    .enter = enter,
    .open = open,
};
