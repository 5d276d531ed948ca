/* A sweep for programs and spreadsheets, and what its forms share. */
#include "exchange/quote_render.h"
#include "exchange/sweep_render.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

const char sg_sweep_caution[] =
    "Times come from a model of the speed, not from cuts: before a setting is changed for "
    "good, a first cut decides.";

int32_t sg_sweep_cheapest(const struct sg_sweep_view *view)
{
    unsigned same = SG_LACK_SETUP | SG_LACK_ADDITION; /* on every step */
    enum sg_sweep_field field = view->input->field;
    if (field != SG_SWEEP_ORIFICE && field != SG_SWEEP_HEAD) /* a kerf may ask for another sheet */
        same |= SG_LACK_SHEET_PRICE | SG_LACK_SHEETS;
    return view->sweep->lacking & ~same ? SG_UNKNOWN : view->sweep->cheapest;
}

enum sg_dimension sg_sweep_dimension(enum sg_sweep_field field)
{
    switch (field) {
    case SG_SWEEP_PRESSURE:
        return SG_DIM_PRESSURE;
    case SG_SWEEP_GARNET:
        return SG_DIM_GARNET_FEED;
    case SG_SWEEP_ORIFICE:
        return SG_DIM_LENGTH;
    default:
        return SG_DIM_NUMBER;
    }
}

static double epoch_of(const struct sg_sweep_view *view)
{
    const struct sg_shop *shop = view->input->shop;
    return shop->shifts[shop->jobs[view->input->job].shift].calendar.epoch;
}

/* "garnet_g_min": a name with its unit as names have it. */
static void put_name(char *out, size_t size, const char *name, enum sg_dimension dimension,
                     enum sg_unit_system units)
{
    const char *unit = dimension == SG_DIM_NUMBER ? "" : sg_unit_of_shop(dimension, units)->name;
    snprintf(out, size, "%s%s%s", name, unit[0] ? "_" : "", unit);
    for (char *c = out; *c; c++)
        *c = *c == '/' ? '_' : (char)tolower((unsigned char)*c);
}

static const char *head_of(const struct sg_sweep_view *view, const struct sg_sweep_step *step)
{
    return view->input->shop->heads[(int)step->value].name;
}

/* ---- figures of a step ---- */

static const struct {
    const char *name;
    enum sg_dimension dimension; /* VOLUME, MASS and FEED get a unit behind the name */
    size_t offset;
} figures[] = {
    {"time_s", SG_DIM_NUMBER, offsetof(struct sg_sweep_step, seconds)},
    {"jet_s", SG_DIM_NUMBER, offsetof(struct sg_sweep_step, jet)},
    {"hands_on_s", SG_DIM_NUMBER, offsetof(struct sg_sweep_step, hands_on)},
    {"garnet", SG_DIM_MASS, offsetof(struct sg_sweep_step, garnet)},
    {"water", SG_DIM_VOLUME, offsetof(struct sg_sweep_step, water)},
    {"energy_kwh", SG_DIM_NUMBER, offsetof(struct sg_sweep_step, energy)},
    {"tubes", SG_DIM_NUMBER, offsetof(struct sg_sweep_step, tubes)},
    {"orifices", SG_DIM_NUMBER, offsetof(struct sg_sweep_step, orifices)},
    {"loading_ratio", SG_DIM_NUMBER, offsetof(struct sg_sweep_step, loading_ratio)},
    {"traverse", SG_DIM_FEED, offsetof(struct sg_sweep_step, traverse)},
    {"cost", SG_DIM_NUMBER, offsetof(struct sg_sweep_step, cost)},
};

enum { FIGURES = sizeof figures / sizeof *figures, COST = FIGURES - 1 };

/* A cost that leaves everything out is none. */
static double figure_of(const struct sg_sweep_view *view, const struct sg_sweep_step *step, int figure)
{
    if (figure == COST && !sg_rates_any(view->input->rates))
        return (double)NAN;
    return *(const double *)(const void *)((const char *)step + figures[figure].offset);
}

/* The bounds of a step as words with semicolons between. */
static void put_bounds(struct sg_text *out, unsigned bounds)
{
    for (int bit = 0, n = 0; bit < SG_BOUNDS; bit++)
        if (bounds & 1u << bit)
            sg_text_format(out, "%s%s", n++ > 0 ? ";" : "", sg_bound_word(bit));
}

/* ---- CSV ---- */

static void next_text(struct sg_text *out, const char *cell)
{
    sg_csv_next(out, &sg_csv_plain);
    sg_csv_text(out, &sg_csv_plain, cell);
}

static void next_number(struct sg_text *out, double value, enum sg_dimension dimension,
                        enum sg_unit_system units)
{
    sg_csv_next(out, &sg_csv_plain);
    if (dimension != SG_DIM_NUMBER)
        value = (double)sg_from_canonical(value, sg_unit_of_shop(dimension, units));
    sg_csv_number(out, &sg_csv_plain, value);
}

/* A setting as it would be typed: 47 ksi is 47, not what is next to it in binary. */
static void put_setting(struct sg_text *out, double value, enum sg_dimension dimension,
                        enum sg_unit_system units)
{
    const struct sg_unit *unit =
        dimension == SG_DIM_NUMBER ? sg_unit_canonical(dimension) : sg_unit_of_shop(dimension, units);
    char text[80];
    if (!sg_known(value))
        return;
    sg_number_exact(value, unit, false, text, sizeof text);
    if (text[strspn(text, "0123456789.-")] == '\0')
        sg_text_put(out, text);
    else
        sg_csv_number(out, &sg_csv_plain, (double)sg_from_canonical(value, unit));
}

static void put_header(struct sg_text *out, const struct sg_sweep_view *view, enum sg_unit_system units)
{
    static const char *const last[] = {"currency", "refills",  "ends_at", "allowed",
                                       "cheapest", "quickest", "bounds"};
    enum sg_sweep_field field = view->input->field;
    char title[60];
    put_name(title, sizeof title, field == SG_SWEEP_GARNET ? "garnet_feed" : sg_sweep_word((int)field),
             sg_sweep_dimension(field), units);
    sg_csv_text(out, &sg_csv_plain, title);
    if (field == SG_SWEEP_ORIFICE) {
        put_name(title, sizeof title, "tube", SG_DIM_LENGTH, units);
        next_text(out, title);
    }
    for (int i = 0; i < FIGURES; i++) {
        put_name(title, sizeof title, figures[i].name, figures[i].dimension, units);
        next_text(out, title);
    }
    for (size_t i = 0; i < sizeof last / sizeof *last; i++)
        next_text(out, last[i]);
    sg_csv_end(out);
}

static void put_row(struct sg_text *out, const struct sg_sweep_view *view, int32_t index,
                    enum sg_unit_system units)
{
    const struct sg_sweep_step *step = &view->sweep->steps[index];
    enum sg_sweep_field field = view->input->field;
    enum sg_dimension dimension = sg_sweep_dimension(field);
    struct sg_text bounds = {0};
    char at[64] = "";
    if (field == SG_SWEEP_HEAD)
        sg_csv_text(out, &sg_csv_plain, head_of(view, step));
    else
        put_setting(out, step->value, dimension, units);
    if (field == SG_SWEEP_ORIFICE) {
        sg_csv_next(out, &sg_csv_plain);
        put_setting(out, step->tube, SG_DIM_LENGTH, units);
    }
    for (int i = 0; i < FIGURES; i++)
        next_number(out, figure_of(view, step, i), figures[i].dimension, units);
    next_text(out, view->input->rates->currency);
    sg_csv_next(out, &sg_csv_plain);
    sg_csv_whole(out, &sg_csv_plain, step->refills);
    if (sg_known(step->ends))
        sg_iso_format(epoch_of(view) + step->ends, at, sizeof at);
    next_text(out, at);
    next_text(out, step->allowed ? "yes" : "no");
    next_text(out, index == sg_sweep_cheapest(view) ? "yes" : "no");
    next_text(out, index == view->sweep->quickest ? "yes" : "no");
    put_bounds(&bounds, step->bounds);
    next_text(out, bounds.data ? bounds.data : "");
    out->failed = out->failed || bounds.failed;
    sg_text_free(&bounds);
    sg_csv_end(out);
}

void sg_sweep_csv(struct sg_text *out, const struct sg_sweep_view *view, enum sg_unit_system units)
{
    put_header(out, view, units);
    for (int32_t i = 0; i < view->sweep->n_steps; i++)
        put_row(out, view, i, units);
}

/* ---- JSON ---- */

static void put_members(struct sg_json *json, const struct sg_sweep_view *view,
                        const struct sg_sweep_step *step)
{
    enum sg_sweep_field field = view->input->field;
    char name[60], at[64];
    if (field == SG_SWEEP_HEAD)
        sg_json_text(json, "value", head_of(view, step));
    else
        sg_json_number(json, "value", step->value);
    sg_json_number(json, "tube_mm", step->tube);
    for (int i = 0; i < FIGURES; i++) {
        put_name(name, sizeof name, figures[i].name, figures[i].dimension, SG_UNITS_METRIC);
        sg_json_number(json, name, figure_of(view, step, i));
    }
    sg_json_whole(json, "refills", step->refills);
    if (sg_known(step->ends))
        sg_iso_format(epoch_of(view) + step->ends, at, sizeof at);
    sg_json_text(json, "ends_at", sg_known(step->ends) ? at : NULL);
    sg_json_yes(json, "allowed", step->allowed);
    sg_json_array(json, "bounds");
    for (int bit = 0; bit < SG_BOUNDS; bit++)
        if (step->bounds & 1u << bit)
            sg_json_text(json, NULL, sg_bound_word(bit));
    sg_json_end_array(json);
}

static void put_step(struct sg_json *json, const char *name, const struct sg_sweep_view *view,
                     const struct sg_sweep_step *step)
{
    if (!step) {
        sg_json_null(json, name);
        return;
    }
    sg_json_object(json, name);
    put_members(json, view, step);
    sg_json_end_object(json);
}

/* The place of a step among the steps, from 0. */
static void put_place(struct sg_json *json, const char *name, int32_t index)
{
    if (index == SG_UNKNOWN)
        sg_json_null(json, name);
    else
        sg_json_whole(json, name, index);
}

void sg_sweep_json(struct sg_text *out, const struct sg_sweep_view *view)
{
    const struct sg_sweep_input *in = view->input;
    const struct sg_sweep *sweep = view->sweep;
    struct sg_json json;
    sg_json_start(&json, out);
    sg_json_text(&json, "job", in->shop->jobs[in->job].id);
    if (in->stock == SG_UNKNOWN)
        sg_json_null(&json, "stock");
    else
        sg_json_whole(&json, "stock", in->shop->stocks[in->stock].number);
    sg_json_text(&json, "field", sg_sweep_word((int)in->field));
    bool unit = sg_sweep_dimension(in->field) != SG_DIM_NUMBER;
    sg_json_text(&json, "unit", unit ? sg_unit_canonical(sg_sweep_dimension(in->field))->name : NULL);
    sg_json_number(&json, "weighed_g_min", in->weighed);
    sg_json_text(&json, "currency", in->rates->currency[0] ? in->rates->currency : NULL);
    sg_json_array(&json, "lacking");
    sg_lacks_of_job(in->shop, in->job, sweep->lacking, sg_quote_lack_json, &json);
    sg_json_end_array(&json);
    put_step(&json, "now", view, view->now);
    sg_json_array(&json, "steps");
    for (int32_t i = 0; i < sweep->n_steps; i++)
        put_step(&json, NULL, view, &sweep->steps[i]);
    sg_json_end_array(&json);
    put_place(&json, "cheapest", sg_sweep_cheapest(view));
    put_place(&json, "quickest", sweep->quickest);
    sg_json_text(&json, "rising", sweep->still_rising ? sg_sweep_rising : NULL);
    sg_json_text(&json, "caution", sg_sweep_caution);
    sg_json_finish(&json);
}
