/* A job: its stocks as groups with their parts, every field to be typed over. */
#include "tui/screens.h"

#include "exchange/render.h"
#include "tui/part_shape.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- a stock ---- */

static const struct sg_stock *stock_of(const struct sg_look *look, struct sg_target target)
{
    return &look->shop->stocks[target.index];
}

static const struct sg_plan_stock *planned_stock(const struct sg_look *look, struct sg_target target)
{
    int32_t index = target.index - look->plan->first_stock;
    return index >= 0 && index < look->plan->n_stocks ? &look->plan->stocks[index] : NULL;
}

static const struct sg_unit *unit_of(const struct sg_look *look, enum sg_dimension dimension)
{
    return sg_unit_of_shop(dimension, look->shop->units);
}

/* A value in brackets is not typed: it comes from the material, the machine or the model. */
static void show_head(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_stock *stock = stock_of(look, target);
    int head = sg_setup_head(look->shop, stock);
    bool typed = stock->head != SG_UNKNOWN;
    snprintf(out, size, "%s%s%s", typed ? "" : "(", look->shop->heads[head].name, typed ? "" : ")");
}

static void show_edge(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_stock *planned = planned_stock(look, target);
    if (planned && !planned->setup.abrasive) {
        snprintf(out, size, "- (water)"); /* the formula for edges is that of garnet */
        return;
    }
    double edge = stock_of(look, target)->edge;
    snprintf(out, size, "%.3g %s", edge, sg_edge_word(edge));
}

static void show_pierce(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_stock *stock = stock_of(look, target);
    const struct sg_plan_stock *planned = planned_stock(look, target);
    bool typed = stock->pierce != SG_UNKNOWN;
    int way = typed || stock->material == SG_UNKNOWN ? stock->pierce
                                                     : look->shop->materials[stock->material].pierce;
    const char *word = way == SG_UNKNOWN ? "-" : sg_words_pierce[way];
    snprintf(out, size, typed ? "%s" : "(%s)", word);
    if (planned && sg_known(planned->setup.pierce)) {
        size_t used = strlen(out);
        snprintf(out + used, size - used, " %.1f s", planned->setup.pierce);
    }
}

static void show_feed(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_stock *stock = stock_of(look, target);
    const struct sg_plan_stock *planned = planned_stock(look, target);
    const struct sg_unit *unit = unit_of(look, SG_DIM_FEED);
    char figure[60];
    bool typed = sg_known(stock->feed);
    sg_number_short(planned ? planned->setup.traverse : (double)NAN, unit,
                    look->shop->units == SG_UNITS_US ? 2 : 0, figure, sizeof figure);
    if (!planned || !sg_known(planned->setup.traverse))
        snprintf(out, size, "-");
    else
        snprintf(out, size, typed ? "%s %s" : "(%s %s)", figure, unit->name);
}

static void show_sheets(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_stock *stock = stock_of(look, target);
    const struct sg_plan_stock *planned = planned_stock(look, target);
    char needs[30] = "?", here[30] = "-";
    if (planned && planned->sheets != SG_UNKNOWN)
        snprintf(needs, sizeof needs, "%lld", (long long)planned->sheets);
    if (stock->sheets != SG_UNKNOWN)
        snprintf(here, sizeof here, "%d", stock->sheets);
    snprintf(out, size, "%s, needs %s%s", here, needs,
             planned && planned->sheets != SG_UNKNOWN && stock->sheets != SG_UNKNOWN &&
                     planned->sheets - planned->remnants > stock->sheets
                 ? " SHORT"
                 : "");
}

static void show_load(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_stock *stock = stock_of(look, target);
    const struct sg_plan_stock *planned = planned_stock(look, target);
    char time[40];
    sg_duration_format(planned ? planned->load : (double)NAN, time, sizeof time);
    snprintf(out, size, sg_known(stock->load) ? "%s" : "(%s)", time);
}

/* What a person looks at most, first; I shows all of them. */
static const struct sg_column stock_columns[] = {
    {.title = "Material", .field = "material"},
    {.title = "Thickness", .field = "thickness"},
    {.title = "Edge", .field = "edge", .show = show_edge},
    {.title = "Sheet length", .field = "sheet_length"},
    {.title = "Sheet width", .field = "sheet_width"},
    {.title = "Sheets", .field = "sheets", .show = show_sheets},
    {.title = "Head", .field = "head", .show = show_head},
    {.title = "Traverse", .field = "feed", .number = "traverse", .show = show_feed},
    {.title = "Pierce", .field = "pierce", .number = "pierce", .show = show_pierce},
    {.title = "Load", .field = "load", .number = "load", .show = show_load},
    {.title = "First check", .field = "first_check"},
    {.title = "Feed override", .field = "feed_override"},
};

/* On a low terminal the last rows of it leave for parts. */
static const struct sg_layout stock_short = {.form = true, .cell = 26, .columns = stock_columns, .n = 9};
static const struct sg_layout stock_full = {
    .form = true, .cell = 28, .columns = stock_columns, .n = sizeof stock_columns / sizeof *stock_columns};

/* ---- a part ---- */

static const struct sg_part *part_of(const struct sg_look *look, struct sg_target target)
{
    return &look->shop->parts[target.index];
}

static const struct sg_plan_part *planned_part(const struct sg_look *look, struct sg_target target)
{
    int32_t index = target.index - look->plan->first_part;
    return index >= 0 && index < look->plan->n_parts ? &look->plan->parts[index] : NULL;
}

static void show_part(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    snprintf(out, size, "%s", part_of(look, target)->id);
}

static void duration(double seconds, char *out, size_t size)
{
    if (sg_known(seconds))
        sg_duration_format(seconds, out, size);
    else
        snprintf(out, size, "-");
}

static void show_each(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_part *part = planned_part(look, target);
    duration(part ? part->each : (double)NAN, out, size);
}

static void show_cut(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_part *part = planned_part(look, target);
    duration(part ? part->cut : (double)NAN, out, size);
}

static void show_pierce_time(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_part *part = planned_part(look, target);
    duration(part ? part->pierce : (double)NAN, out, size);
}

static void show_rapid(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_part *part = planned_part(look, target);
    duration(part ? part->rapid : (double)NAN, out, size);
}

static void show_garnet(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_part *part = planned_part(look, target);
    sg_number_format(part ? part->garnet : (double)NAN, unit_of(look, SG_DIM_MASS), 1, out, size);
}

static void show_part_sheets(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_part *part = planned_part(look, target);
    if (part && sg_known(part->sheets))
        sg_number_short(part->sheets, sg_unit_canonical(SG_DIM_NUMBER), 1, out, size);
    else
        snprintf(out, size, "-");
}

static const struct sg_column part_columns[] = {
    {.title = "Part", .width = 6, .show = show_part},
    {.title = "Name", .width = 10, .grows = true, .leaves = 2, .field = "name"},
    {.title = "Qty", .width = 6, .right = true, .field = "quantity"},
    {.title = "Cut %", .width = 8, .right = true, .field = "cut_length", .dimension = SG_DIM_LENGTH},
    {.title = "Pierces", .width = 7, .right = true, .field = "pierces"},
    {.title = "Length %",
     .width = 9,
     .leaves = 9,
     .right = true,
     .field = "length",
     .dimension = SG_DIM_LENGTH},
    {.title = "Width %",
     .width = 9,
     .leaves = 8,
     .right = true,
     .field = "width",
     .dimension = SG_DIM_LENGTH},
    {.title = "Each", .width = 7, .leaves = 4, .right = true, .number = "each", .show = show_each},
    {.title = "Cutting", .width = 8, .leaves = 3, .right = true, .number = "cut", .show = show_cut},
    {.title = "Piercing",
     .width = 8,
     .leaves = 6,
     .right = true,
     .number = "pierce",
     .show = show_pierce_time},
    {.title = "Rapid", .width = 7, .leaves = 7, .right = true, .number = "rapid", .show = show_rapid},
    {.title = "Garnet %",
     .width = 9,
     .leaves = 1,
     .right = true,
     .number = "garnet",
     .show = show_garnet,
     .dimension = SG_DIM_MASS},
    {.title = "Sh", .width = 3, .leaves = 5, .right = true, .number = "sheets", .show = show_part_sheets},
    {.title = "Outline", .width = 12, .leaves = 10, .field = "outline"},
};

static const struct sg_layout part_layout = {.columns = part_columns,
                                             .n = sizeof part_columns / sizeof *part_columns};

/* ---- the job itself ---- */

static const struct sg_column job_columns[] = {
    {.title = "Name", .field = "name"},   {.title = "Customer", .field = "customer"},
    {.title = "Due", .field = "due"},     {.title = "Shift", .field = "shift"},
    {.title = "Order", .field = "order"}, {.title = "Note", .field = "note"},
};

static const struct sg_layout job_short = {.form = true, .cell = 26, .columns = job_columns, .n = 3};
static const struct sg_layout job_full = {
    .form = true, .cell = 28, .columns = job_columns, .n = sizeof job_columns / sizeof *job_columns};

/* ---- lines ---- */

enum { TALL = 30 };

static void stock_words(struct sg_ui *ui, int32_t index)
{
    const struct sg_stock *stock = &ui->kept.shop->stocks[index];
    const struct sg_plan_stock *planned = planned_stock(&ui->kept, (struct sg_target){SG_KIND_STOCK, index});
    char mass[60] = "", key[200];
    sg_key_write(ui->kept.shop, (struct sg_target){SG_KIND_STOCK, index}, key, sizeof key);
    if (planned && sg_known(planned->sheet_mass)) {
        const struct sg_unit *unit = unit_of(&ui->kept, SG_DIM_MASS);
        char figure[40];
        sg_number_format(planned->sheet_mass, unit, 0, figure, sizeof figure);
        snprintf(mass, sizeof mass, ", a sheet weighs %s %s", figure, unit->name);
    }
    sg_line_words(ui, SG_ROLE_LABEL, false, "Stock %s: %d part%s%s%s%s", key, stock->n_parts,
                  stock->n_parts == 1 ? "" : "s", mass, *stock->lot ? ", lot " : "", stock->lot);
}

static void build_stock(struct sg_ui *ui, int32_t index)
{
    const struct sg_stock *stock = &ui->kept.shop->stocks[index];
    stock_words(ui, index);
    sg_line_form(ui, ui->rows < TALL ? &stock_short : &stock_full, (struct sg_target){SG_KIND_STOCK, index});
    if (stock->n_parts > 0)
        sg_line_heading(ui, &part_layout);
    else
        sg_line_words(ui, SG_ROLE_TEXT, false,
                      "No parts yet: stand on the sheets above and press a, or i for a list.");
    for (int32_t i = 0; i < stock->n_parts; i++)
        sg_line_row(ui, &part_layout, (struct sg_target){SG_KIND_PART, stock->first_part + i});
}

static void build(struct sg_ui *ui)
{
    struct sg_target about = sg_ui_place(ui)->about;
    const struct sg_job *job = &ui->kept.shop->jobs[about.index];
    sg_line_form(ui, ui->rows < TALL ? &job_short : &job_full, about);
    if (job->n_stocks == 0)
        sg_line_words(ui, SG_ROLE_TEXT, false,
                      "No sheets yet: A adds them, i brings in a parts list with its materials.");
    for (int32_t i = 0; i < job->n_stocks; i++)
        build_stock(ui, job->first_stock + i);
}

/* On the quantity of the first part: what is typed most. */
static bool open(struct sg_ui *ui)
{
    struct sg_place *place = sg_ui_place(ui);
    sg_ui_build(ui);
    for (int i = 0; i < ui->n_lines; i++)
        if (ui->lines[i].stop && ui->lines[i].target.kind == SG_KIND_PART) {
            place->line = i;
            place->cell = 2;
            break;
        }
    return true;
}

static void title(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_plan *plan = ui->kept.plan;
    int32_t index = sg_ui_place(ui)->about.index;
    const struct sg_job *job = &ui->kept.shop->jobs[index];
    int at = index - plan->first_job;
    char place[60] = "";
    if (at >= 0 && at < plan->n_jobs)
        snprintf(place, sizeof place, "%d of %d", at + 1, plan->n_jobs);
    else
        snprintf(place, sizeof place, "of shift %.40s", ui->kept.shop->shifts[job->shift].id);
    snprintf(out, size, "JOB %s (%s)  %s%s%s", job->id, place, job->name, *job->customer ? ", " : "",
             job->customer);
}

/* ---- below the lines ---- */

enum { CHANGES_COLUMNS = 80, OUTLINE_COLUMNS = 30 };

static bool has_room_beside(int columns)
{
    return columns >= CHANGES_COLUMNS + OUTLINE_COLUMNS;
}

/* The figures; beside them the outline of the part one stands on, where there is room, or instead of them
 * where that is asked for and nothing is typed. It reaches up to the last line of the body. */
static void draw_panel(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    const struct sg_place *place = sg_ui_place(ui);
    bool drawn = sg_part_drawn(ui) != NULL, alone = place->zoom > 0 && !ui->typing.open;
    int free = ui->body.rows - (ui->n_lines - place->top);
    struct sg_area picture = area;
    picture.row -= free > 0 ? free : 0;
    picture.rows += free > 0 ? free : 0;
    if (drawn && alone) {
        sg_part_shape_draw(ui, canvas, picture);
        return;
    }
    if (drawn && has_room_beside(area.columns)) {
        picture.column += CHANGES_COLUMNS;
        picture.columns -= CHANGES_COLUMNS;
        area.columns = CHANGES_COLUMNS - 1;
        sg_part_shape_draw(ui, canvas, picture);
    }
    sg_changes_draw(ui, canvas, area);
}

void sg_do_outline(struct sg_ui *ui)
{
    struct sg_place *place = sg_ui_place(ui);
    if (!sg_part_drawn(ui) && place->zoom == 0)
        sg_ui_say(ui, SG_ROLE_TEXT, "No outline here: type the file of a drawing into a part's outline.");
    else
        place->zoom = !place->zoom;
}

/* What a person should know about the row: the first caution about it or its stock, else the job's note, else
 * what key shows its outline. */
static void advice(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_line *line = sg_ui_line(ui);
    const struct sg_plan *plan = ui->kept.plan;
    const struct sg_place *place = sg_ui_place(ui);
    const char *note = ui->kept.shop->jobs[place->about.index].note;
    int32_t stock = sg_ui_stock(ui);
    for (int32_t i = 0; line && i < plan->n_cautions; i++) {
        const struct sg_caution *caution = &plan->cautions[i];
        bool of_row = caution->kind == (int16_t)line->target.kind && caution->index == line->target.index;
        bool of_stock = caution->kind == SG_KIND_STOCK && caution->index == stock;
        if (!of_row && !of_stock)
            continue;
        sg_caution_text(caution, ui->kept.shop->units, out, size);
        return;
    }
    if (*note)
        snprintf(out, size, "Note: %s", note);
    else if (sg_part_drawn(ui) && (place->zoom > 0 || !has_room_beside(ui->columns)))
        snprintf(out, size, "O shows %s", place->zoom > 0 ? "the figures" : "its outline");
}

/* " traverse shop, 14 runs, +-6 %;" where it was fitted to the shop's own times, which its source tells;
 * `brief`: the word alone. */
static void put_own(const char *what, const char *source, bool brief, char *out, size_t size)
{
    size_t used = strlen(out);
    const char *own = strstr(source, "shop, "), *end = own ? strchr(own, '%') : NULL;
    if (end && !brief)
        snprintf(out + used, size - used, " %s %.*s;", what, (int)(end + 1 - own), own);
    else
        snprintf(out + used, size - used, " %s %s;", what, sg_basis_word(SG_BASIS_SHOP));
}

/* Which values in brackets are the shop's own; "" none. */
static void put_owns(struct sg_ui *ui, bool brief, char *out, size_t size)
{
    const struct sg_shop *shop = ui->kept.shop;
    int32_t index = sg_ui_stock(ui);
    const struct sg_plan_stock *planned =
        index == SG_UNKNOWN ? NULL : planned_stock(&ui->kept, (struct sg_target){SG_KIND_STOCK, index});
    out[0] = '\0';
    if (!planned || shop->stocks[index].material == SG_UNKNOWN)
        return;
    if (planned->setup.traverse_basis == SG_BASIS_SHOP)
        put_own("traverse", shop->materials[shop->stocks[index].material].source, brief, out, size);
    if (planned->setup.pierce_basis == SG_BASIS_SHOP)
        put_own("pierce", shop->machine.pierce_source, brief, out, size);
}

static void legend(struct sg_ui *ui, char *out, size_t size)
{
    enum { OTHERS = 48 }; /* columns of what stands around it */
    char owns[300];
    put_owns(ui, false, owns, sizeof owns);
    if (sg_text_columns(owns) + OTHERS > ui->columns)
        put_owns(ui, true, owns, sizeof owns);
    int used = owns[0] ? snprintf(out, size, "In brackets:%s the others from material or model.", owns)
                       : snprintf(out, size, "In brackets: not typed, from material or model.");
    if (!owns[0] || used + 28 <= ui->columns)
        used += snprintf(out + used, size - (size_t)used, "  A adds sheets, a a part.");
    if (ui->columns > 110 && !owns[0])
        snprintf(out + used, size - (size_t)used, "  Enter or a digit edits, Tab goes on.");
}

const struct sg_screen sg_screen_job = {
    .name = "Job",
    .answers = true,
    .rest_ends = true,
    .of_job = true,
    .title = title,
    .build = build,
    .panel = 8,
    .panel_tall = 13,
    .draw_panel = draw_panel,
    .panel_has_changes = true,
    .advice = advice,
    .legend = legend,
    .open = open,
};
