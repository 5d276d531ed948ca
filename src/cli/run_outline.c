/* Drawings and part programs measured. */
#include "cli/cli.h"

#include "exchange/drawing_measure.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LAYERS = 200 };

/* How the files are read: as the shop's machine has it where there is a shop file, else as a fresh one; what
 * is asked for goes before that. */
struct reading {
    struct sg_desk *desk; /* of the shop file; NULL: none */
    struct sg_measure_settings settings;
    char *layers; /* names of the option, cut apart */
    const char *wanted[LAYERS], *out[LAYERS];
    int n_wanted, n_out;
    enum sg_unit_system units; /* of what is shown */
};

/* ---- options ---- */

static enum sg_status read_unit(const struct sg_args *args, struct reading *reading, struct sg_error *error)
{
    const char *unit = sg_option(args, "unit");
    if (unit && strcmp(unit, "mm") != 0 && strcmp(unit, "in") != 0)
        return sg_fail(error, SG_USAGE, "--unit is mm or in, not \"%.40s\"", unit);
    struct sg_drawing_how *how = &reading->settings.how.drawing;
    if (unit)
        how->unit = unit[0] == 'm' ? SG_DRAWING_MM : SG_DRAWING_IN;
    if (sg_option(args, "on") || sg_option(args, "off")) {
        how->on = sg_option(args, "on");
        how->off = sg_option(args, "off");
    }
    return SG_OK;
}

static enum sg_status read_tolerance(const struct sg_args *args, struct reading *reading,
                                     struct sg_error *error)
{
    const char *text = sg_option(args, "tolerance");
    char *end = NULL;
    double tolerance = text ? strtod(text, &end) : SG_MEASURE_TOLERANCE;
    if (text && (end == text || *end || !(tolerance >= 0) || tolerance > 1000))
        return sg_fail(error, SG_USAGE,
                       "--tolerance is a length in units of the drawing, 0 to 1000, not \"%.40s\"", text);
    reading->settings.how.tolerance = tolerance;
    return SG_OK;
}

/* "CUT,MARK" takes only these layers, "-DIM,-TEXT" all but these. */
static enum sg_status read_layers(const struct sg_args *args, struct reading *reading, struct sg_error *error)
{
    const char *text = sg_option(args, "layer");
    if (!text)
        return SG_OK;
    reading->layers = strdup(text);
    if (!reading->layers)
        return sg_fail(error, SG_FAULT, "no memory for the names of layers");
    char *rest = NULL;
    for (char *name = strtok_r(reading->layers, ",", &rest); name; name = strtok_r(NULL, ",", &rest)) {
        if (reading->n_out + reading->n_wanted == LAYERS)
            return sg_fail(error, SG_USAGE, "--layer takes at most %d names", LAYERS);
        if (name[0] == '-')
            reading->out[reading->n_out++] = name + 1;
        else
            reading->wanted[reading->n_wanted++] = name;
    }
    struct sg_measure_how *how = &reading->settings.how;
    how->drawing.layers_out = reading->out;
    how->drawing.n_layers_out = reading->n_out;
    how->drawing.layers_may_lack = false;
    how->layers_in = reading->n_wanted > 0 ? reading->wanted : NULL;
    how->n_layers_in = reading->n_wanted;
    return SG_OK;
}

/* The shop file that is named or at the default place; there need be none. */
static enum sg_status read_shop(const struct sg_args *args, struct reading *reading, struct sg_error *error)
{
    const struct sg_shop fresh = {.machine = sg_fresh_machine, .units = SG_UNITS_METRIC};
    enum sg_status status = sg_cli_open(args, SG_STORE_READ, &reading->desk, error);
    if (status != SG_OK && (status != SG_NO_FILE || sg_option(args, "f")))
        return status;
    const struct sg_shop *shop = reading->desk ? sg_desk_shop(reading->desk) : &fresh;
    sg_measure_settings(shop, &reading->settings);
    reading->units = shop->units;
    return sg_cli_units(args, &reading->units, error);
}

static enum sg_status read_options(const struct sg_args *args, struct reading *reading,
                                   struct sg_error *error)
{
    enum sg_status status = read_shop(args, reading, error);
    if (status == SG_OK)
        status = read_unit(args, reading, error);
    if (status == SG_OK)
        status = read_tolerance(args, reading, error);
    return status == SG_OK ? read_layers(args, reading, error) : status;
}

/* ---- telling ---- */

static const char *const unit_from[] = {"header", "option", "assumed"};

static void problem_members(struct sg_json *json, const struct sg_measured *m)
{
    struct sg_remark remark;
    sg_json_array(json, "problems");
    for (int i = 0; sg_measured_remark(m, i, false, &remark); i++) {
        sg_json_object(json, NULL);
        if (remark.line > 0)
            sg_json_whole(json, "line", remark.line);
        else
            sg_json_null(json, "line");
        sg_json_text(json, "text", remark.text);
        sg_json_whole(json, "more", remark.more);
        if (sg_known(remark.x)) {
            sg_json_number(json, "x_mm", remark.x);
            sg_json_number(json, "y_mm", remark.y);
        }
        sg_json_end_object(json);
    }
    sg_json_end_array(json);
}

static void put_json(struct sg_json *json, const char *name, const struct sg_measured *m, double rapid)
{
    const struct sg_outline *o = &m->outline;
    sg_json_object(json, NULL);
    sg_json_text(json, "file", name);
    sg_json_text(json, "unit", m->drawing.unit);
    sg_json_text(json, "unit_from", unit_from[m->drawing.unit_from]);
    sg_json_whole(json, "contours", o->closed);
    sg_json_whole(json, "open_paths", o->open);
    sg_json_whole(json, "pierces", o->pierces);
    sg_json_number(json, "cut_length_mm", o->cut_length);
    sg_json_number(json, "rapid_length_mm", m->drawing.rapid_length);
    sg_json_number(json, "ordered_rapid_mm", rapid);
    sg_json_number(json, "length_mm", o->box[2] - o->box[0]);
    sg_json_number(json, "width_mm", o->box[3] - o->box[1]);
    sg_json_number(json, "area_mm2", o->area);
    sg_json_whole(json, "corners", o->corners);
    sg_json_number(json, "smallest_radius_mm", m->drawing.smallest_radius);
    problem_members(json, m);
    sg_json_end_object(json);
}

static void put_figure(struct sg_text *out, const char *title, enum sg_dimension dimension,
                       enum sg_unit_system units, double value)
{
    char figure[80];
    const struct sg_unit *unit = sg_unit_of_shop(dimension, units);
    sg_number_short(value, unit, 3, figure, sizeof figure);
    sg_text_format(out, "  %-22s %s%s%s\n", title, figure, sg_known(value) ? " " : "",
                   sg_known(value) ? unit->name : "");
}

static void put_problems(struct sg_text *out, const struct sg_measured *m, bool inches)
{
    struct sg_remark remark;
    for (int i = 0; sg_measured_remark(m, i, inches, &remark); i++) {
        sg_text_put(out, "  ");
        if (remark.line > 0)
            sg_text_format(out, "line %lld: ", (long long)remark.line);
        sg_text_put(out, remark.text);
        if (remark.more > 0 && !sg_known(remark.x)) /* with a place the sentence says it */
            sg_text_format(out, " (and %lld more like it)", (long long)remark.more);
        sg_text_put(out, "\n");
    }
}

static void put_text(struct sg_text *out, const char *name, const struct sg_measured *m, double rapid,
                     enum sg_unit_system units)
{
    const struct sg_outline *o = &m->outline;
    sg_text_format(out, "%s: %s, unit %s (%s)\n", name,
                   m->drawing.kind == SG_DRAWING_DXF ? "drawing" : "part program", m->drawing.unit,
                   unit_from[m->drawing.unit_from]);
    sg_text_format(out, "  %-22s %d (%d closed, %d open)\n", "pierces", o->pierces, o->closed, o->open);
    put_figure(out, "cut length", SG_DIM_LENGTH, units, o->cut_length);
    put_figure(out, "length", SG_DIM_LENGTH, units, o->box[2] - o->box[0]);
    put_figure(out, "width", SG_DIM_LENGTH, units, o->box[3] - o->box[1]);
    put_figure(out, "area", SG_DIM_AREA, units, o->area);
    sg_text_format(out, "  %-22s %lld\n", "corners", (long long)o->corners);
    put_figure(out, "smallest radius", SG_DIM_LENGTH, units, m->drawing.smallest_radius);
    if (sg_known(m->drawing.rapid_length))
        put_figure(out, "rapids as they stand", SG_DIM_LENGTH, units, m->drawing.rapid_length);
    put_figure(out, "rapids well ordered", SG_DIM_LENGTH, units, rapid);
    put_problems(out, m, units == SG_UNITS_US);
}

static enum sg_status put_file(const char *name, const struct reading *reading, struct sg_json *json,
                               struct sg_text *out, struct sg_error *error)
{
    struct sg_measured m;
    double rapid = 0;
    enum sg_status status = sg_measure(name, &reading->settings.how, &m, error);
    if (status == SG_OK)
        status = sg_measured_rapid(&m, &rapid, error);
    if (status == SG_OK && json)
        put_json(json, name, &m, rapid);
    else if (status == SG_OK)
        put_text(out, name, &m, rapid, reading->units);
    sg_measured_free(&m);
    return status;
}

int sg_run_outline(const struct sg_args *args)
{
    struct reading reading = {0};
    struct sg_error error;
    struct sg_text out = {0};
    struct sg_json json;
    bool as_json = sg_option(args, "json");
    enum sg_status status = read_options(args, &reading, &error);
    if (as_json) {
        sg_json_start(&json, &out);
        sg_json_array(&json, "outlines");
    }
    for (int i = 0; i < args->n_words && status == SG_OK; i++)
        status = put_file(args->words[i], &reading, as_json ? &json : NULL, &out, &error);
    free(reading.layers);
    sg_desk_close(reading.desk);
    if (status != SG_OK) {
        sg_text_free(&out);
        return sg_cli_fail(&error);
    }
    if (as_json) {
        sg_json_end_array(&json);
        sg_json_finish(&json);
    }
    return sg_cli_put(&out, SG_OK);
}
