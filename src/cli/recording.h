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

/* Remarks of the log as it is before an act, and what the rest lacks then, a line each. */
void sg_remarks_before(const struct recording *r, struct sg_text *out);

/* What is left from an act on, into out, or as members of an open JSON object; what it lacks, and to standard
 * error the remarks, as far as they are not among those before it. Nothing where there is no shift. */
enum sg_status sg_record_rest(struct recording *r, const struct sg_text *before, struct sg_text *out,
                              struct sg_json *json);

/* Print what an act noted, and what is left. */
int sg_record_told(struct recording *r, const struct sg_text *before);

/* For a command that changes rows of the log without an act: what is left from now, or from the last moment
 * of the log where that lies ahead. */
void sg_recording_of(struct recording *r, const struct sg_args *args, struct sg_desk *desk);

/* Differs where rows of the log differ. */
uint64_t sg_log_mark(const struct sg_shop *shop);

/* Print the log, or five lines for who comes next. */
int sg_record_look(struct recording *r, bool hand_over);

#endif
