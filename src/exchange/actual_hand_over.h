/* What the files of the hand-over share. */
#ifndef SANDGLASS_EXCHANGE_ACTUAL_HAND_OVER_H
#define SANDGLASS_EXCHANGE_ACTUAL_HAND_OVER_H

#include "exchange/actual_render.h"

enum { SG_HAND_CELL = 120 };

/* 11:43, of another day than now 2026-12-01 11:43; out has SG_HAND_CELL bytes. */
const char *sg_hand_clock(const struct sg_log_view *view, int64_t moment, char *out);

/* Words between two things of a list; none in front of the first. */
void sg_hand_between(struct sg_text *out, const char *between);

/* Pieces of a part in the shift's own part of the log, whoever its job belongs to by now. */
struct sg_hand_done {
    int64_t good, scrapped;
    int64_t asked;   /* as it was asked for in the shift */
    int64_t outside; /* good ones of a job of the shift that were noted at other times */
};

/* By index of the shop's parts, in the arena; NULL: no memory (actual_done.c). */
struct sg_hand_done *sg_hand_done(const struct sg_log_view *view, struct sg_arena *arena);

/* What to watch (actual_watch.c). */
void sg_hand_watch(struct sg_text *out, const struct sg_log_view *view, const struct sg_rest *rest,
                   const struct sg_plan *plan);

#endif
