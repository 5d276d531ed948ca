/* A longer search for a layout with fewer sheets, beside the plan. */
#ifndef SANDGLASS_SEARCH_H
#define SANDGLASS_SEARCH_H

#include "edit/desk.h"

/* What a longer search is asked to do, in thousands of looks: the field `search` of a stock. Hundredths of a
 * second for boxes, tenths where pieces interlock: 0.1 to 0.3 s for 12 parts of 20 pieces, so never on a key.
 */
enum { SG_SEARCH_LOOKS = 5000 };

/* Sheets that the stock would take with search = looks, everything else as it is kept; SG_UNKNOWN where its
 * sheets are not known. The desk and its plan are as they were. Counted work, the same answer on every
 * machine. */
enum sg_status sg_desk_search(struct sg_desk *desk, int32_t stock, int32_t looks, int64_t *sheets,
                              struct sg_error *error);

#endif
