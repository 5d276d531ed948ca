/* Whether a longer search finds a layout with fewer sheets than the one shown: looked for while nobody types,
 * once for what is laid out, and forgotten with any change of it. */
#ifndef SANDGLASS_TUI_LONGER_SEARCH_H
#define SANDGLASS_TUI_LONGER_SEARCH_H

#include "tui/pieces.h"

enum sg_looked {
    SG_NOT_LOOKED,    /* at what is shown now */
    SG_LEAST_ALREADY, /* no layout takes fewer: nothing to search for */
    SG_TAKEN_ALREADY, /* what is shown was found by a search as long */
    SG_LOOK_FAILED,
    SG_NOT_FEWER,
    SG_FEWER
};

/* Start with {0}. */
struct sg_longer_search {
    uint64_t of; /* a number made of what was laid out then */
    enum sg_looked looked;
    int64_t found; /* sheets, where SG_FEWER */
};

/* What came of it for the page that is shown. */
enum sg_looked sg_longer_search_of(const struct sg_ui *ui, const struct sg_sheet_page *page,
                                   const struct sg_longer_search *search);

/* Search unless that was done; of the plan only, not of what is tried. *error where SG_LOOK_FAILED. */
enum sg_looked sg_longer_search(struct sg_ui *ui, const struct sg_sheet_page *page,
                                struct sg_longer_search *search, struct sg_error *error);

#endif
