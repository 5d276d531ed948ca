#include "exchange/drawing_measure.h"

#include "sandglass/number.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { KICKS = 500 };

/* ---- settings ---- */

/* Names with commas between, without the blanks around them; how many. */
static int cut_apart(const char *list, char *names, size_t size, const char **out)
{
    int n = 0;
    char *rest = NULL;
    snprintf(names, size, "%s", list);
    for (char *name = strtok_r(names, ",", &rest); name; name = strtok_r(NULL, ",", &rest)) {
        name += strspn(name, " ");
        for (size_t length = strlen(name); length > 0 && name[length - 1] == ' '; length--)
            name[length - 1] = '\0';
        if (*name && n < SG_TEXT_MAX)
            out[n++] = name;
    }
    return n;
}

/* Of the shop's abrasive heads; of a fresh one where it has none. */
static double narrowest_bore(const struct sg_shop *shop)
{
    double bore = (double)NAN;
    for (int32_t i = 0; i < shop->n_heads; i++)
        bore = fmin(bore, shop->heads[i].tube); /* NaN gives way */
    return sg_known(bore) ? bore : sg_fresh_heads[SG_HEAD_ABRASIVE].tube;
}

void sg_measure_settings(const struct sg_shop *shop, struct sg_measure_settings *out)
{
    const struct sg_machine *machine = &shop->machine;
    struct sg_measure_how *how = &out->how;
    *how = (struct sg_measure_how){.tolerance = SG_MEASURE_TOLERANCE, .bore = narrowest_bore(shop)};
    if (*machine->jet_on && *machine->jet_off) {
        how->drawing.on = machine->jet_on;
        how->drawing.off = machine->jet_off;
    }
    how->drawing.layers_out = out->layers_out;
    how->drawing.n_layers_out =
        cut_apart(machine->layers_out, out->names, sizeof out->names, out->layers_out);
    how->drawing.layers_may_lack = true; /* one setting for all drawings */
}

/* ---- reading ---- */

static bool is_wanted(const struct sg_measure_how *how, const char *layer)
{
    for (int i = 0; i < how->n_layers_in; i++)
        if (strcasecmp(how->layers_in[i], layer) == 0)
            return true;
    return false;
}

/* Where only some layers are wanted the drawing is read twice: its own names are known after the first time.
 */
static enum sg_status read_wanted(const char *name, const struct sg_measure_how *how, struct sg_drawing *out,
                                  struct sg_error *error)
{
    enum sg_status status = sg_drawing_read(name, &how->drawing, out, error);
    if (status != SG_OK || !how->layers_in)
        return status;
    struct sg_drawing first = *out;
    struct sg_drawing_how again = how->drawing;
    const char **others = calloc((size_t)first.n_layers + (size_t)again.n_layers_out + 1, sizeof *others);
    *out = (struct sg_drawing){0};
    again.layers_out = others;
    again.n_layers_out = 0;
    for (int i = 0; others && i < first.n_layers; i++)
        if (!is_wanted(how, first.layers[i].name))
            others[again.n_layers_out++] = first.layers[i].name;
    for (int i = 0; others && i < how->drawing.n_layers_out; i++)
        others[again.n_layers_out++] = how->drawing.layers_out[i];
    status = !others ? sg_fail(error, SG_FAULT, "no memory for the layers of %s", name)
                     : sg_drawing_read(name, &again, out, error);
    sg_drawing_free(&first);
    free(others);
    return status;
}

enum sg_status sg_measure(const char *name, const struct sg_measure_how *how, struct sg_measured *out,
                          struct sg_error *error)
{
    *out = (struct sg_measured){.bore = how->bore};
    enum sg_status status = read_wanted(name, how, &out->drawing, error);
    if (status != SG_OK)
        return status;
    const struct sg_drawing *drawing = &out->drawing;
    struct sg_outline_how outlining = {.tolerance = how->tolerance * drawing->unit_mm,
                                       .chained = drawing->kind == SG_DRAWING_PROGRAM,
                                       .runs = drawing->runs,
                                       .n_runs = drawing->n_runs,
                                       .fit_arcs = true};
    status = sg_outline_make(&drawing->path, &outlining, &out->outline, error);
    if (status == SG_OK && drawing->kind == SG_DRAWING_DXF && !sg_outline_arrange(&out->outline, KICKS))
        return sg_fail(error, SG_FAULT, "no memory to order the contours of %s", name);
    return status;
}

void sg_measured_free(struct sg_measured *measured)
{
    sg_outline_free(&measured->outline);
    sg_drawing_free(&measured->drawing);
}

/* ---- rapids ---- */

static double way_over(const struct sg_outline *outline)
{
    double length = 0, x = 0, y = 0;
    for (int32_t i = 0; i < outline->n_contours; i++) {
        double pierce_x, pierce_y;
        sg_outline_pierce(outline, i, 0, &pierce_x, &pierce_y);
        length += hypot(pierce_x - x, pierce_y - y);
        sg_outline_end(outline, i, 0, &x, &y);
    }
    return length;
}

enum sg_status sg_measured_rapid(const struct sg_measured *measured, double *length, struct sg_error *error)
{
    struct sg_outline outline = measured->outline;
    if (measured->drawing.kind == SG_DRAWING_DXF || outline.n_contours == 0) {
        *length = way_over(&outline);
        return SG_OK;
    }
    size_t size = (size_t)outline.n_contours * sizeof *outline.contours; /* the program's own order stays */
    outline.contours = malloc(size);
    bool room = outline.contours != NULL;
    if (room) {
        memcpy(outline.contours, measured->outline.contours, size);
        room = sg_outline_arrange(&outline, KICKS);
        *length = way_over(&outline);
    }
    free(outline.contours);
    return room ? SG_OK : sg_fail(error, SG_FAULT, "no memory to order %d contours", outline.n_contours);
}

/* ---- remarks ---- */

static const char *length_in_words(double mm, bool inches, char *out, size_t size)
{
    const struct sg_unit *unit = sg_unit_find(inches ? "in" : "mm", 2);
    char figure[60];
    sg_number_short(mm, unit, inches ? 4 : 3, figure, sizeof figure);
    snprintf(out, size, "%s %s", figure, unit->name);
    return out;
}

/* Holes that are narrower than the jet's tube; how many, and the narrowest. */
static int32_t narrow_holes(const struct sg_measured *m, double *narrowest)
{
    int32_t n = 0;
    *narrowest = m->bore;
    for (int32_t i = 0; i < m->outline.n_contours; i++) {
        const struct sg_contour *c = &m->outline.contours[i];
        double across = fmin(c->box[2] - c->box[0], c->box[3] - c->box[1]);
        if (!c->inner || !(across < m->bore))
            continue;
        n++;
        *narrowest = fmin(*narrowest, across);
    }
    return n;
}

/* What is smaller than a jet cuts is most often of another unit. */
static bool say_small(const struct sg_measured *m, bool inches, char *out, size_t size)
{
    const double *box = m->outline.box;
    double length = box[2] - box[0], width = box[3] - box[1], narrowest;
    char one[80], other[80];
    if (m->outline.n_contours > 0 && fmax(length, width) < SG_MEASURE_SMALL) {
        snprintf(out, size, "all of it is only %s x %s: is its unit right?",
                 length_in_words(length, inches, one, sizeof one),
                 length_in_words(width, inches, other, sizeof other));
        return true;
    }
    int32_t n = narrow_holes(m, &narrowest);
    if (n > 0)
        snprintf(out, size,
                 "%d hole%s narrower than the bore of the mixing tube, %s: the narrowest is %s across", n,
                 n == 1 ? " is" : "s are", length_in_words(m->bore, inches, one, sizeof one),
                 length_in_words(narrowest, inches, other, sizeof other));
    return n > 0;
}

bool sg_measured_remark(const struct sg_measured *measured, int index, bool inches, struct sg_remark *out)
{
    const struct sg_drawing *drawing = &measured->drawing;
    const struct sg_outline *outline = &measured->outline;
    *out = (struct sg_remark){.x = (double)NAN, .y = (double)NAN};
    if (say_small(measured, inches, out->text, sizeof out->text) && index-- == 0)
        return true;
    if (index < drawing->n_problems) {
        const struct sg_drawing_problem *problem = &drawing->problems[index];
        out->line = problem->line;
        out->more = problem->more;
        snprintf(out->text, sizeof out->text, "%s", problem->text);
        return true;
    }
    index -= drawing->n_problems;
    if (index >= outline->n_problems)
        return false;
    const struct sg_outline_problem *problem = &outline->problems[index];
    out->x = problem->x;
    out->y = problem->y;
    out->more = problem->more;
    sg_outline_problem_text(problem, inches, out->text, sizeof out->text);
    return true;
}
