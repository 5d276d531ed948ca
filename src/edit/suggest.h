/* The cheapest changes for a shift: each found by trying it on a draft, none
 * from a rule of thumb. */
#ifndef SANDGLASS_SUGGEST_H
#define SANDGLASS_SUGGEST_H

#include "edit/draft.h"

enum { SG_SUGGESTIONS = 12, SG_SUGGESTED_LATE = 64 };

struct sg_suggestion {
    char words[1400]; /* "swap jobs 2602 and 2603" */
    struct sg_edit edits[2];
    int n_edits;
    double saving; /* s by which the shift ends earlier; infinite where it could
                      not end before */
    double ends;   /* s after the shift's start */
    double over;
    int32_t refills;
    /* Jobs that are late with it: those of the shift, and one that it moves to the
     * next where that is late there. */
    int32_t n_late, late[SG_SUGGESTED_LATE]; /* indexes into the kept shop's jobs, as
                                                many as fit */
    double late_s;                           /* s by which they are late, together */
    char late_jobs[200];                     /* "2602 2605"; ".." behind where there are more; "" */
};

/* Try for a shift: refills where they wait least, a fill while a stock is
 * loaded, a fill before the breaks, two jobs swapped, a job moved to the next
 * shift, one edge coarser on a part that allows it (edge_least). Those that end
 * it earlier by a second or more go into out, best first: by the minute in which
 * the shift ends, then by jobs that are late and how much, then what changes
 * less. One that makes more jobs late than another with the same end is left
 * out. Returns how many, at most SG_SUGGESTIONS. The draft is left as the kept
 * shop. `tried` (may be NULL) is how many changes were tried. -1 with the error
 * when memory is out. */
int sg_suggest(struct sg_draft *draft, int32_t shift, struct sg_suggestion *out, int *tried,
               struct sg_error *error);

#endif
