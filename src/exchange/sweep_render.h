/* A sweep as text, CSV and JSON. */
#ifndef SANDGLASS_SWEEP_RENDER_H
#define SANDGLASS_SWEEP_RENDER_H

#include "exchange/render.h"
#include "sandglass/sweep.h"

struct sg_sweep_view {
    const struct sg_sweep_input *input;
    const struct sg_sweep *sweep;
    const struct sg_sweep_step *now; /* the job as it is; NULL: its heads or stocks differ in the field */
    int width;                       /* of the lines of its sentences; 0: 100 */
};

/* In the units of the shop: a table of the steps, and the sentences. */
void sg_sweep_text(struct sg_text *out, const struct sg_sweep_view *view);
/* A row a step; values and amounts in these units, whatever those of the shop: SG_UNITS_METRIC is what
 * `sweep --csv` writes by itself. */
void sg_sweep_csv(struct sg_text *out, const struct sg_sweep_view *view, enum sg_unit_system units);
void sg_sweep_json(struct sg_text *out, const struct sg_sweep_view *view);

/* ---- its pieces, for a screen (sweep_text.c) ---- */

/* What is to be said about it: what bounds every step, the best against now, what the costs leave out. */
void sg_sweep_sentences(struct sg_text *out, const struct sg_sweep_view *view);

/* Bounds in words: "pump flow, top feed". Those that hold on every step are said in the sentences. */
void sg_sweep_bounds(struct sg_text *out, const struct sg_sweep_view *view, unsigned bounds);
unsigned sg_sweep_bounds_of_all(const struct sg_sweep *sweep);

/* Whether a step is the job as it is now. */
bool sg_sweep_is_now(const struct sg_sweep_view *view, const struct sg_sweep_step *step);

/* The most decimals that anybody sets a field to, in the unit of the shop. */
int sg_sweep_decimals(const struct sg_sweep_input *input);

/* Whether the job as it is now is not allowed: then the best of the steps are the best of those allowed. */
bool sg_sweep_now_forbidden(const struct sg_sweep_view *view);

/* A value of the field with its unit, of an orifice with its tube: "0.33/1.02 mm", "edge 3 medium", "head a".
 */
void sg_sweep_value(struct sg_text *out, const struct sg_sweep_view *view, const struct sg_sweep_step *step);

/* The cost of a step, "-" where nothing is known of the rates. out has room for 80 bytes and is returned. */
const char *sg_sweep_cost(const struct sg_sweep_view *view, const struct sg_sweep_step *step, char *out);

/* ---- what they share (sweep_files.c) ---- */

/* The cheapest step; SG_UNKNOWN also where a cost leaves out what may differ from step to step, so that the
 * least of what is known need not be the cheapest. */
int32_t sg_sweep_cheapest(const struct sg_sweep_view *view);

/* The field's dimension; NUMBER of edge and head. */
enum sg_dimension sg_sweep_dimension(enum sg_sweep_field field);

/* Said with every sweep: what it is worth. */
extern const char sg_sweep_caution[];

#endif
