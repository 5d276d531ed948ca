/* The job sheet: what goes to the floor and to the office. */
#include "exchange/render.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- CSV ---- */

/* One row of the sheet. */
struct row {
    const struct sg_shop *shop;
    const struct sg_job *job;
    const struct sg_stock *stock;
    const struct sg_part *part;
    const struct sg_plan_stock *planned_stock;
    const struct sg_plan_part *planned;
    char *scratch; /* 40 bytes for a text that has to be made */
};

/* A column gives a text or, in its canonical unit, a number. */
struct column {
    const char *title;
    enum sg_dimension dimension; /* LENGTH and MASS get their unit behind the title */
    const char *(*text)(const struct row *);
    double (*number)(const struct row *);
};

static const char *job_id(const struct row *r)
{
    return r->job->id;
}

static double stock_number(const struct row *r)
{
    return r->stock->number;
}

static const char *part_id(const struct row *r)
{
    return r->part->id;
}

static const char *part_name(const struct row *r)
{
    return r->part->name;
}

static double quantity(const struct row *r)
{
    return r->part->quantity;
}

static const char *material(const struct row *r)
{
    return r->stock->material == SG_UNKNOWN ? "" : r->shop->materials[r->stock->material].name;
}

static double thickness(const struct row *r)
{
    return r->stock->thickness;
}

static double edge(const struct row *r)
{
    return sg_known(r->part->edge) ? r->part->edge : r->stock->edge;
}

static const char *head(const struct row *r)
{
    return r->shop->heads[r->planned_stock->head].name;
}

static double sheets(const struct row *r)
{
    return r->planned->sheets == SG_UNKNOWN ? (double)NAN : (double)r->planned->sheets;
}

static double cut_length(const struct row *r)
{
    return r->part->cut_length * r->part->quantity;
}

static double pierces(const struct row *r)
{
    return (double)r->part->pierces * r->part->quantity;
}

static double each(const struct row *r)
{
    return r->planned->each;
}

static double cut(const struct row *r)
{
    return r->planned->cut;
}

static double pierce(const struct row *r)
{
    return r->planned->pierce;
}

static double rapid(const struct row *r)
{
    return r->planned->rapid;
}

static double garnet(const struct row *r)
{
    return r->planned->garnet;
}

static double mass(const struct row *r)
{
    return r->planned->mass;
}

static const char *due(const struct row *r)
{
    char *text = r->scratch;
    text[0] = '\0';
    if (r->job->due != SG_NO_MOMENT)
        sg_moment_format(r->job->due, text, 40);
    return text;
}

static const char *note(const struct row *r)
{
    return r->part->note;
}

static const struct column columns[] = {
    {"job", SG_DIM_NUMBER, job_id, NULL},
    {"stock", SG_DIM_NUMBER, NULL, stock_number},
    {"part", SG_DIM_NUMBER, part_id, NULL},
    {"name", SG_DIM_NUMBER, part_name, NULL},
    {"quantity", SG_DIM_NUMBER, NULL, quantity},
    {"material", SG_DIM_NUMBER, material, NULL},
    {"thickness", SG_DIM_LENGTH, NULL, thickness},
    {"edge", SG_DIM_NUMBER, NULL, edge},
    {"head", SG_DIM_NUMBER, head, NULL},
    {"sheets", SG_DIM_NUMBER, NULL, sheets},
    {"cut_length", SG_DIM_LENGTH, NULL, cut_length},
    {"pierces", SG_DIM_NUMBER, NULL, pierces},
    {"each_s", SG_DIM_DURATION, NULL, each},
    {"cut_s", SG_DIM_DURATION, NULL, cut},
    {"pierce_s", SG_DIM_DURATION, NULL, pierce},
    {"rapid_s", SG_DIM_DURATION, NULL, rapid},
    {"garnet", SG_DIM_MASS, NULL, garnet},
    {"mass", SG_DIM_MASS, NULL, mass},
    {"due", SG_DIM_NUMBER, due, NULL},
    {"note", SG_DIM_NUMBER, note, NULL},
};

enum { COLUMNS = sizeof columns / sizeof *columns };

static void put_header(struct sg_text *out, const struct sg_csv_style *style, enum sg_unit_system units)
{
    for (int i = 0; i < COLUMNS; i++) {
        bool unit = columns[i].dimension == SG_DIM_LENGTH || columns[i].dimension == SG_DIM_MASS;
        char title[40];
        snprintf(title, sizeof title, "%s%s%s", columns[i].title, unit ? "_" : "",
                 unit ? sg_unit_of_shop(columns[i].dimension, units)->name : "");
        if (i > 0)
            sg_csv_next(out, style);
        sg_csv_text(out, style, title);
    }
    sg_csv_end(out);
}

/* The figure that was typed: 0.5 in is 12.7 mm, which is no double, and must not come back as 0.4999... */
static double as_typed(double canonical, const struct sg_unit *unit)
{
    char text[80], *end;
    if (!isfinite(canonical))
        return (double)NAN;
    sg_number_exact(canonical, unit, false, text, sizeof text);
    double value = strtod(text, &end);
    return *end ? (double)sg_from_canonical(canonical, unit) : value;
}

static void put_row(struct sg_text *out, const struct sg_csv_style *style, enum sg_unit_system units,
                    const struct row *row)
{
    for (int i = 0; i < COLUMNS; i++) {
        if (i > 0)
            sg_csv_next(out, style);
        if (columns[i].text)
            sg_csv_text(out, style, columns[i].text(row));
        else
            sg_csv_number(out, style,
                          as_typed(columns[i].number(row), sg_unit_of_shop(columns[i].dimension, units)));
    }
    sg_csv_end(out);
}

static void put_job_rows(struct sg_text *out, const struct sg_csv_style *style, const struct sg_shop *shop,
                         const struct sg_plan *plan, int32_t job, enum sg_unit_system units)
{
    const struct sg_job *j = &shop->jobs[job];
    for (int32_t s = j->first_stock; s < j->first_stock + j->n_stocks; s++) {
        const struct sg_stock *stock = &shop->stocks[s];
        for (int32_t p = stock->first_part; p < stock->first_part + stock->n_parts; p++) {
            char scratch[40];
            struct row row = {shop,
                              j,
                              stock,
                              &shop->parts[p],
                              &plan->stocks[s - plan->first_stock],
                              &plan->parts[p - plan->first_part],
                              scratch};
            put_row(out, style, units, &row);
        }
    }
}

void sg_sheet_csv(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                  int32_t first_job, int32_t n_jobs, const struct sg_sheet_how *how)
{
    const struct sg_csv_style *style = how->for_spreadsheet ? &sg_csv_spreadsheet : &sg_csv_plain;
    if (how->for_spreadsheet)
        sg_text_put(out, "\xEF\xBB\xBF");
    put_header(out, style, how->units);
    for (int32_t i = 0; i < n_jobs; i++)
        put_job_rows(out, style, shop, plan, first_job + i, how->units);
}

/* ---- text ---- */

enum { CELL = 80 };

static const char *show(const struct sg_shop *shop, enum sg_dimension dimension, double value, int decimals,
                        char *out)
{
    sg_number_format(value, sg_unit_of_shop(dimension, shop->units), decimals, out, CELL);
    return out;
}

static const char *show_time(double seconds, char *out)
{
    if (sg_known(seconds))
        sg_duration_format(seconds, out, CELL);
    else
        snprintf(out, CELL, "-");
    return out;
}

static void put_heading(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                        int32_t job)
{
    const struct sg_job *j = &shop->jobs[job];
    const struct sg_plan_job *planned = &plan->jobs[job - plan->first_job];
    double epoch = shop->shifts[plan->shift].calendar.epoch;
    char day[40], starts[16], ends[16], due_text[40];
    sg_day_format(epoch, day, sizeof day);
    sg_text_format(out, "JOB SHEET %s  %s\n", j->id, j->name);
    if (j->customer[0])
        sg_text_format(out, "For %s", j->customer);
    if (j->due != SG_NO_MOMENT) {
        sg_moment_format(j->due, due_text, sizeof due_text);
        sg_text_format(out, "%sdue %s%s", j->customer[0] ? ", " : "", due_text,
                       planned->late > 0 ? " LATE" : "");
    }
    sg_text_put(out, j->customer[0] || j->due != SG_NO_MOMENT ? "\n" : "");
    if (sg_known(planned->starts) && sg_known(planned->ends)) {
        sg_clock_format(epoch + planned->starts, starts, sizeof starts);
        sg_clock_format(epoch + planned->ends, ends, sizeof ends);
        sg_text_format(out, "Shift %s, %s, %s to %s\n", shop->shifts[plan->shift].id, day, starts, ends);
    }
    if (j->note[0])
        sg_text_format(out, "Note: %s\n", j->note);
}

static void put_stock_line(struct sg_text *out, const struct sg_shop *shop, const struct sg_stock *stock,
                           const struct sg_plan_stock *planned)
{
    char c[6][CELL];
    const char *length = sg_unit_of_shop(SG_DIM_LENGTH, shop->units)->name;
    int decimals = shop->units == SG_UNITS_US ? 3 : 1;
    sg_text_format(out, "\nStock %d: %s, %s %s", stock->number,
                   stock->material == SG_UNKNOWN ? "no material" : shop->materials[stock->material].name,
                   show(shop, SG_DIM_LENGTH, stock->thickness, decimals, c[0]), length);
    if (stock->stack > 1)
        sg_text_format(out, " in stacks of %d", stock->stack);
    sg_text_format(out, ", %s head", shop->heads[planned->head].name);
    if (planned->setup.abrasive)
        sg_text_format(out, ", edge %.3g %s", stock->edge, sg_edge_word(stock->edge));
    if (stock->owner == SG_OWNER_CUSTOMER)
        sg_text_put(out, ", customer's sheets");
    if (stock->lot[0])
        sg_text_format(out, ", lot %s", stock->lot);
    if (planned->sheets != SG_UNKNOWN)
        sg_text_format(out, ", %lld sheets %s x %s %s", (long long)planned->sheets,
                       show(shop, SG_DIM_LENGTH, stock->sheet_length, decimals, c[1]),
                       show(shop, SG_DIM_LENGTH, stock->sheet_width, decimals, c[2]), length);
    sg_text_format(
        out, "\nTraverse %s %s (%s), pierce %s s (%s), load %s, first check %s\n",
        show(shop, SG_DIM_FEED, planned->setup.traverse, 1, c[3]),
        sg_unit_of_shop(SG_DIM_FEED, shop->units)->name, sg_basis_word(planned->setup.traverse_basis),
        show(shop, SG_DIM_NUMBER, planned->setup.pierce, 1, c[4]), sg_basis_word(planned->setup.pierce_basis),
        show_time(planned->load, c[5]), show_time(stock->first_check, c[0]));
}

static void put_stock_table(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                            const struct sg_stock *stock)
{
    char length[CELL], garnet_title[CELL];
    snprintf(length, sizeof length, ">Cut %s", sg_unit_of_shop(SG_DIM_LENGTH, shop->units)->name);
    snprintf(garnet_title, sizeof garnet_title, ">Garnet %s",
             sg_unit_of_shop(SG_DIM_MASS, shop->units)->name);
    const char *titles[] = {"Part",  "Name", ">Qty",       length, ">Pierces",
                            ">Each", ">All", garnet_title, "Done"};
    struct sg_table table;
    sg_table_start(&table, titles, 9);
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++) {
        const struct sg_part *part = &shop->parts[i];
        const struct sg_plan_part *planned = &plan->parts[i - plan->first_part];
        char c[6][CELL];
        snprintf(c[0], CELL, "%d", part->quantity);
        snprintf(c[1], CELL, "%lld", (long long)part->pierces * part->quantity);
        sg_table_row(&table,
                     (const char *[]){part->id, part->name, c[0],
                                      show(shop, SG_DIM_LENGTH, part->cut_length * part->quantity, 1, c[2]),
                                      c[1], show_time(planned->each, c[3]),
                                      show_time(planned->cut + planned->pierce + planned->rapid, c[4]),
                                      show(shop, SG_DIM_MASS, planned->garnet, 2, c[5]), "[ ]"});
    }
    sg_table_put(&table, 2, out);
}

/* The cautions of a plan that concern one job: its own rows, its materials and heads, and what concerns
 * everybody. */
static bool concerns(const struct sg_shop *shop, const struct sg_plan *plan, const struct sg_caution *caution,
                     int32_t job)
{
    const struct sg_job *j = &shop->jobs[job];
    switch (caution->kind) {
    case SG_KIND_JOB:
        return caution->index == job;
    case SG_KIND_STOCK:
        return shop->stocks[caution->index].job == job;
    case SG_KIND_PART:
        return shop->stocks[shop->parts[caution->index].stock].job == job;
    case SG_KIND_MATERIAL:
        for (int32_t i = 0; i < j->n_stocks; i++)
            if (shop->stocks[j->first_stock + i].material == caution->index)
                return true;
        return false;
    case SG_KIND_HEAD:
        for (int32_t i = 0; i < j->n_stocks; i++)
            if (plan->stocks[j->first_stock + i - plan->first_stock].head == caution->index)
                return true;
        return false;
    default:
        return true;
    }
}

void sg_sheet_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan, int32_t job)
{
    const struct sg_job *j = &shop->jobs[job];
    put_heading(out, shop, plan, job);
    for (int32_t i = j->first_stock; i < j->first_stock + j->n_stocks; i++) {
        put_stock_line(out, shop, &shop->stocks[i], &plan->stocks[i - plan->first_stock]);
        put_stock_table(out, shop, plan, &shop->stocks[i]);
    }
    bool titled = false;
    for (int i = 0; i < plan->n_cautions; i++) {
        char where[400], first[440], text[600];
        const struct sg_caution *caution = &plan->cautions[i];
        if (!concerns(shop, plan, caution, job))
            continue;
        sg_text_put(out, titled ? "" : "\nCautions\n");
        titled = true;
        sg_key_write(shop, (struct sg_target){(enum sg_kind)caution->kind, caution->index}, where,
                     sizeof where);
        sg_caution_text(caution, shop->units, text, sizeof text);
        snprintf(first, sizeof first, "  %s:", where);
        sg_wrap(out, first, 4, 100, text);
    }
}

void sg_sheet_json(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan, int32_t job)
{
    const struct sg_job *j = &shop->jobs[job];
    const struct sg_plan_job *planned = &plan->jobs[job - plan->first_job];
    double epoch = shop->shifts[plan->shift].calendar.epoch;
    struct sg_json json;
    char text[64];
    sg_json_start(&json, out);
    sg_json_text(&json, "job", j->id);
    sg_json_text(&json, "name", j->name);
    sg_json_text(&json, "customer", j->customer[0] ? j->customer : NULL);
    sg_json_text(&json, "note", j->note[0] ? j->note : NULL);
    const struct {
        const char *name;
        double epoch;
    } times[] = {
        {"due_at", j->due_epoch}, {"starts_at", epoch + planned->starts}, {"ends_at", epoch + planned->ends}};
    for (int i = 0; i < 3; i++) {
        if (sg_known(times[i].epoch))
            sg_iso_format(times[i].epoch, text, sizeof text);
        sg_json_text(&json, times[i].name, sg_known(times[i].epoch) ? text : NULL);
    }
    sg_json_number(&json, "late_s", planned->late);
    sg_stocks_json(&json, shop, plan, job);
    sg_json_finish(&json);
}
