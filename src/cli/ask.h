/* What the questions of `ask` share. */
#ifndef SANDGLASS_CLI_ASK_H
#define SANDGLASS_CLI_ASK_H

#include "cli/shown.h"
#include "sandglass/ask.h"

enum { SG_ASK_CELL = 80, SG_ASK_KEY = 400 };

struct sg_asked {
    const struct sg_args *args;
    const char *const *words; /* behind the question */
    int n_words;
    const char *usage; /* of the question */
    struct sg_shown shown;
    const struct sg_shop *shop;
    const struct sg_plan *plan;
    int32_t shift;
    double epoch;            /* its start */
    double begun;            /* s after it of the start as it was planned: below 0 with --now */
    struct sg_target target; /* the row that is asked about, of a question that has one */
    bool yes;
    struct sg_text sentence, out;
    struct sg_json json;
    struct sg_error error;
};

/* ---- words ---- */

enum sg_status sg_ask_wrong_words(struct sg_asked *a);

/* Seconds after the shift's start of a date and time, or of the first time of day behind `after`. */
enum sg_status sg_ask_read_time(struct sg_asked *a, const char *text, double after, double *out);

/* ---- the sentence: each writes to `out` (SG_ASK_CELL, SG_ASK_KEY bytes) or adds to a->sentence ---- */

/* A time of day, with its weekday where that differs from the one on which the shift starts. */
const char *sg_ask_clock(const struct sg_asked *a, double t, char *out);
const char *sg_ask_part_key(const struct sg_asked *a, int32_t part, char *out);

/* The event with that index in the run, NULL for -1. */
const struct sg_event *sg_ask_event(const struct sg_asked *a, int32_t event);

/* "the garnet runs out at 11:05 in 2602/1 sheet 2, at least 3 bags short" */
void sg_ask_say_stop(struct sg_asked *a, const struct sg_event *stop);

/* Why work does not end. */
void sg_ask_say_no_end(struct sg_asked *a, const struct sg_ask_done *done);

/* ---- the answer ---- */

/* The sentence stands: keep the answer. True where figures are wanted behind it, in a->json. */
bool sg_ask_answer(struct sg_asked *a, bool yes);
void sg_ask_put_time(struct sg_asked *a, const char *name, double t);
void sg_ask_put_no_end(struct sg_asked *a, enum sg_ask_end end); /* "reason" */

/* ---- the questions (ask_garnet.c, ask_times.c): SG_OK once answered, else a->error says why not ---- */

enum sg_status sg_ask_ends(struct sg_asked *a);
enum sg_status sg_ask_refill(struct sg_asked *a);
enum sg_status sg_ask_whether_lasts(struct sg_asked *a);
enum sg_status sg_ask_whether_alone(struct sg_asked *a);
enum sg_status sg_ask_done_by(struct sg_asked *a);
enum sg_status sg_ask_what_fits(struct sg_asked *a);

#endif
