/* The cheapest changes for a shift: each found by trying it on a draft, none
 * from a rule of thumb. */
#ifndef SANDGLASS_SUGGEST_H
#define SANDGLASS_SUGGEST_H

#include "edit/draft.h"

struct sg_suggestion {
    char words[1400]; /* "swap jobs 2602 and 2603" */
    struct sg_edit edits[2];
    int n_edits;
    double saving; /* s by which the shift ends earlier; infinite where it could
                      not end before */
    double ends;   /* s after the shift's start */
    double over;
    int32_t refills;
};

enum { SG_SUGGESTIONS = 12 };

/* Try for a shift: refills where they wait least, a fill while a stock is
 * loaded, a fill before the breaks, two jobs swapped, a job moved to the next
 * shift, one edge coarser on a part that allows it (edge_least). Those that end
 * it earlier by a second or more go into out, best first, of equals the one
 * that changes less; returns how many, at most SG_SUGGESTIONS. The draft is
 * left as the kept shop. `tried` (may be NULL) is how many changes were tried.
 * -1 with the error when memory is out. */
int sg_suggest(struct sg_draft *draft, int32_t shift, struct sg_suggestion *out, int *tried,
               struct sg_error *error);

#endif
