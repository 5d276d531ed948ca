/* Drawings and part programs measured. */
#include "cli/cli.h"

#include "exchange/drawing.h"
#include "sandglass/outline.h"
#include "sandglass/tour.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { LAYERS = 200, KICKS = 500 };

/* How the files are read. */
struct reading {
    struct sg_drawing_how how;
    double tolerance; /* drawing units; NaN: the usual */
    char *layers;     /* names of the option, cut apart */
    const char *wanted[LAYERS], *out[LAYERS];
    int n_wanted, n_out;
};

/* One file, read and measured. */
struct measured {
    struct sg_drawing drawing;
    struct sg_outline outline;
    double ordered_rapid; /* mm: park at zero, inner contours before the outer ones */
};

static const double usual_tolerance = 0.0001; /* drawing units within which two ends are one */

/* ---- options ---- */

static enum sg_status read_unit(const struct sg_args *args, struct reading *reading, struct sg_error *error)
{
    const char *unit = sg_option(args, "unit");
    if (unit && strcmp(unit, "mm") != 0 && strcmp(unit, "in") != 0)
        return sg_fail(error, SG_USAGE, "--unit is mm or in, not \"%.40s\"", unit);
    if (unit)
        reading->how.unit = unit[0] == 'm' ? SG_DRAWING_MM : SG_DRAWING_IN;
    reading->how.on = sg_option(args, "on");
    reading->how.off = sg_option(args, "off");
    return SG_OK;
}

static enum sg_status read_tolerance(const struct sg_args *args, struct reading *reading,
                                     struct sg_error *error)
{
    const char *text = sg_option(args, "tolerance");
    char *end = NULL;
    reading->tolerance = text ? strtod(text, &end) : (double)NAN;
    if (text && (end == text || *end || !(reading->tolerance >= 0) || reading->tolerance > 1000))
        return sg_fail(error, SG_USAGE,
                       "--tolerance is a length in units of the drawing, 0 to 1000, not \"%.40s\"", text);
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
    reading->how.layers_out = reading->out;
    reading->how.n_layers_out = reading->n_out;
    return SG_OK;
}

/* ---- measuring ---- */

static bool is_wanted(const struct reading *reading, const char *layer)
{
    for (int i = 0; i < reading->n_wanted; i++)
        if (strcasecmp(reading->wanted[i], layer) == 0)
            return true;
    return false;
}

/* Where only some layers are wanted the drawing is read twice: its own names are known after the first time.
 */
static enum sg_status read_wanted(const char *name, const struct reading *reading, struct sg_drawing *out,
                                  struct sg_error *error)
{
    enum sg_status status = sg_drawing_read(name, &reading->how, out, error);
    if (status != SG_OK || reading->n_wanted == 0)
        return status;
    struct sg_drawing first = *out;
    struct sg_drawing_how how = reading->how;
    const char **others = calloc((size_t)first.n_layers + (size_t)how.n_layers_out + 1, sizeof *others);
    how.layers_out = others;
    how.n_layers_out = 0;
    for (int i = 0; others && i < first.n_layers; i++)
        if (!is_wanted(reading, first.layers[i].name))
            others[how.n_layers_out++] = first.layers[i].name;
    for (int i = 0; others && i < reading->n_out; i++)
        others[how.n_layers_out++] = reading->out[i];
    status = !others ? sg_fail(error, SG_FAULT, "no memory for the layers of %s", name)
                     : sg_drawing_read(name, &how, out, error);
    sg_drawing_free(&first);
    free(others);
    return status;
}

/* The shortest way over all pierces that the search finds. */
static enum sg_status order_pierces(struct measured *m, struct sg_error *error)
{
    const struct sg_outline *outline = &m->outline;
    size_t n = (size_t)outline->n_contours + 1;
    double *x = calloc(n, sizeof *x), *y = calloc(n, sizeof *y);
    int32_t *after = calloc(n, sizeof *after), *order = calloc(n, sizeof *order);
    bool room = x && y && after && order;
    for (int32_t i = 0; room && i < outline->n_contours; i++) {
        sg_outline_pierce(outline, i, 0, &x[i], &y[i]);
        after[i] = outline->contours[i].outside;
    }
    struct sg_tour_input input = {.x = x, .y = y, .n = outline->n_contours, .after = after, .kicks = KICKS};
    room = room && sg_tour(&input, order, &m->ordered_rapid);
    free(x);
    free(y);
    free(after);
    free(order);
    return room ? SG_OK : sg_fail(error, SG_FAULT, "no memory to order %d contours", outline->n_contours);
}

static enum sg_status measure(const char *name, const struct reading *reading, struct measured *m,
                              struct sg_error *error)
{
    memset(m, 0, sizeof *m);
    enum sg_status status = read_wanted(name, reading, &m->drawing, error);
    if (status != SG_OK)
        return status;
    double tolerance = isnan(reading->tolerance) ? usual_tolerance : reading->tolerance;
    struct sg_outline_how how = {.tolerance = tolerance * m->drawing.unit_mm,
                                 .chained = m->drawing.kind == SG_DRAWING_PROGRAM,
                                 .runs = m->drawing.runs,
                                 .n_runs = m->drawing.n_runs};
    status = sg_outline_make(&m->drawing.path, &how, &m->outline, error);
    return status == SG_OK ? order_pierces(m, error) : status;
}

static void give_back(struct measured *m)
{
    sg_outline_free(&m->outline);
    sg_drawing_free(&m->drawing);
}

/* ---- telling ---- */

static const char *const unit_from[] = {"header", "option", "assumed"};

static void problem_members(struct sg_json *json, const struct measured *m)
{
    char text[300];
    sg_json_array(json, "problems");
    for (int i = 0; i < m->drawing.n_problems; i++) {
        sg_json_object(json, NULL);
        if (m->drawing.problems[i].line > 0)
            sg_json_whole(json, "line", m->drawing.problems[i].line);
        else
            sg_json_null(json, "line");
        sg_json_text(json, "text", m->drawing.problems[i].text);
        sg_json_whole(json, "more", m->drawing.problems[i].more);
        sg_json_end_object(json);
    }
    for (int32_t i = 0; i < m->outline.n_problems; i++) {
        const struct sg_outline_problem *problem = &m->outline.problems[i];
        sg_outline_problem_text(problem, false, text, sizeof text);
        sg_json_object(json, NULL);
        sg_json_null(json, "line");
        sg_json_text(json, "text", text);
        sg_json_whole(json, "more", problem->more);
        sg_json_number(json, "x_mm", problem->x);
        sg_json_number(json, "y_mm", problem->y);
        sg_json_end_object(json);
    }
    sg_json_end_array(json);
}

static void put_json(struct sg_json *json, const char *name, const struct measured *m)
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
    sg_json_number(json, "ordered_rapid_mm", m->ordered_rapid);
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

static void put_problems(struct sg_text *out, const struct measured *m, bool inches)
{
    char text[300];
    for (int i = 0; i < m->drawing.n_problems; i++) {
        const struct sg_drawing_problem *problem = &m->drawing.problems[i];
        if (problem->line > 0)
            sg_text_format(out, "  line %lld: ", (long long)problem->line);
        else
            sg_text_put(out, "  ");
        sg_text_put(out, problem->text);
        if (problem->more > 0)
            sg_text_format(out, " (and %lld more like it)", (long long)problem->more);
        sg_text_put(out, "\n");
    }
    for (int32_t i = 0; i < m->outline.n_problems; i++) {
        sg_outline_problem_text(&m->outline.problems[i], inches, text, sizeof text);
        sg_text_format(out, "  %s\n", text);
    }
}

static void put_text(struct sg_text *out, const char *name, const struct measured *m,
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
    put_figure(out, "rapids well ordered", SG_DIM_LENGTH, units, m->ordered_rapid);
    put_problems(out, m, units == SG_UNITS_US);
}

int sg_run_outline(const struct sg_args *args)
{
    struct reading reading = {0};
    struct sg_error error;
    struct sg_text out = {0};
    struct sg_json json;
    enum sg_unit_system units = SG_UNITS_METRIC;
    bool as_json = sg_option(args, "json");
    enum sg_status status = read_unit(args, &reading, &error);
    if (status == SG_OK)
        status = read_tolerance(args, &reading, &error);
    if (status == SG_OK)
        status = read_layers(args, &reading, &error);
    if (status == SG_OK)
        status = sg_cli_units(args, &units, &error);
    if (as_json) {
        sg_json_start(&json, &out);
        sg_json_array(&json, "outlines");
    }
    for (int i = 0; i < args->n_words && status == SG_OK; i++) {
        struct measured m;
        status = measure(args->words[i], &reading, &m, &error);
        if (status == SG_OK && as_json)
            put_json(&json, args->words[i], &m);
        else if (status == SG_OK)
            put_text(&out, args->words[i], &m, units);
        give_back(&m);
    }
    free(reading.layers);
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
