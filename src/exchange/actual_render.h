/* What really happened, and studies of it, for people and programs. As render.h: built in memory, written
 * whole; JSON is SI. */
#ifndef SANDGLASS_ACTUAL_RENDER_H
#define SANDGLASS_ACTUAL_RENDER_H

#include "exchange/render.h"
#include "sandglass/actual.h"

struct sg_log_view {
    const struct sg_shop *shop;
    const struct sg_actual *actual;
    int32_t shift;
    double (*epoch)(int64_t moment); /* seconds since the epoch of a local moment: the edge knows the zone */
};

/* The log of the shift: a row for each clock with plan and took, for each record, and what stands now; under
 * a heading of its own what counts and is in no shift's log (actual_list.c, actual_json.c). */
void sg_log_text(struct sg_text *out, const struct sg_log_view *view);
void sg_log_json(struct sg_text *out, const struct sg_log_view *view);

/* Whether a remark is of the shift that is viewed, or of none. */
bool sg_log_has_remark(const struct sg_log_view *view, const struct sg_actual_remark *remark);

/* What the hopper holds: "about 64 lb, carried forward (60 to 66)"; "hopper" of an open JSON object. */
void sg_level_words(struct sg_text *out, const struct sg_shop *shop, const struct sg_actual *actual);
void sg_level_json(struct sg_json *json, const struct sg_log_view *view);

/* "remarks" of an open JSON object: those from index `first` on. */
void sg_remarks_json(struct sg_json *json, const struct sg_log_view *view);

/* Five lines for who comes next: what runs, what is done, what is next, the hopper, what to watch
 * (actual_hand_over.c). The plan is that of the rest. */
void sg_hand_over_text(struct sg_text *out, const struct sg_log_view *view, const struct sg_rest *rest,
                       const struct sg_plan *plan);
void sg_hand_over_json(struct sg_text *out, const struct sg_log_view *view, const struct sg_rest *rest,
                       const struct sg_plan *plan);

/* Stocks of the plan of a rest with how many of their pieces are left, the first few: "2602/1 (12 left), then
 * 2603/1 (18 left)"; nothing where nothing is left. */
void sg_left_words(struct sg_text *out, const struct sg_shop *rest, const struct sg_plan *plan);

/* ---- time studies (actual_studies.c) ---- */

struct sg_studies_view {
    const struct sg_shop *shop;
    const struct sg_study_run *runs;
    int32_t n_runs, left_out;
    const int32_t *why; /* how many are left out, by enum sg_actual_left_out */
    const struct sg_study_group *groups;
    int32_t n_groups;
    const struct sg_study *study;
    struct sg_arena *arena; /* scratch */
};

/* False: no memory. */
bool sg_studies_text(struct sg_text *out, const struct sg_studies_view *view);
bool sg_studies_json(struct sg_text *out, const struct sg_studies_view *view);

/* Of a group with few runs: "too few to use (5 needed)", or which number of the shop's own is in use. */
void sg_study_few_words(const struct sg_shop *shop, const struct sg_study_group *group, char *out,
                        size_t size);

#endif
