/* What commands show of a shop: the plan as it was made, or with --now (or --at TIME, which says when that
 * is) what is left from then on. */
#ifndef SANDGLASS_CLI_SHOWN_H
#define SANDGLASS_CLI_SHOWN_H

#include "cli/cli.h"
#include "edit/actuals.h"

/* Start with {0} but for args. */
struct sg_shown {
    const struct sg_args *args;
    struct sg_desk *desk;
    const struct sg_shop *shop; /* as kept, or that of the rest: the same keys and shifts, other indexes */
    bool now;
    struct sg_now rest; /* with now */
    const char *how;    /* where --now is to be had, for the hint: NULL, the command itself */
};

/* Open the file and choose the shop. Close in any case. */
enum sg_status sg_shown_open(struct sg_shown *shown, struct sg_error *error);
void sg_shown_close(struct sg_shown *shown);

/* The shift with that name; NULL: the one at work with --now, else the first that is open. */
enum sg_status sg_shown_shift(const struct sg_shown *shown, const char *name, int32_t *shift,
                              struct sg_error *error);

/* Its plan; of a shift of which nothing can be left to plan SG_BAD_DATA. */
enum sg_status sg_shown_plan(struct sg_shown *shown, int32_t shift, const struct sg_plan **plan,
                             struct sg_error *error);

/* In front of a text form: of a rest from when it is (out may be NULL: the answer says it). Of a plan as it
 * was made, while its shift is at work, a line to standard error that says when what is left ends. */
void sg_shown_say(const struct sg_shown *shown, int32_t shift, struct sg_text *out);

#endif
