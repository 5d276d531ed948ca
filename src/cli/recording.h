/* What the files of `record` share. */
#ifndef SANDGLASS_CLI_RECORDING_H
#define SANDGLASS_CLI_RECORDING_H

#include "cli/cli.h"
#include "edit/actuals.h"
#include "exchange/actual_render.h"

struct recording {
    const struct sg_args *args;
    const char *const *words; /* behind the act */
    int n_words;
    struct sg_desk *desk;
    int64_t at, now;
    bool typed_at;
    struct sg_noted noted;
    struct sg_error error;
};

/* Remarks of the log as it is before an act, a line each. */
void sg_remarks_before(const struct recording *r, struct sg_text *out);

/* Print what an act noted, what is left from then on, and the remarks that are not among those before it. */
int sg_record_rest(struct recording *r, const struct sg_text *before);

/* Print the log, or five lines for who comes next. */
int sg_record_look(struct recording *r, bool hand_over);

#endif
