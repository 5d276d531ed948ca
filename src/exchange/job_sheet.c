/* The job sheet for the office: CSV and JSON. Its text is in sheet_text.c. */
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
    return r->planned->sheets;
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

/* ---- JSON ---- */

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
