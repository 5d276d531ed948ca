/* Boxes, sheets, and which box lies where: what a layout (layout.h) is asked and says. */
#ifndef SANDGLASS_PLACEMENT_H
#define SANDGLASS_PLACEMENT_H

#include <stdbool.h>
#include <stdint.h>

/* A kind of piece. */
struct sg_layout_part {
    double length, width; /* mm, above 0 */
    int64_t quantity;     /* 0 and less: none */
    bool turn;            /* may be turned by 90 degrees */
};

/* Sheets of one size. */
struct sg_layout_sheet {
    double length, width; /* mm */
    int64_t count;        /* on hand; -1: as many as it takes. Sizes are used up in the order given */
};

struct sg_placement {
    int32_t part;
    bool turned;  /* its length lies across the sheet */
    bool flipped; /* turned by 180 degrees besides */
    double x, y;  /* mm of its corner from the sheet's corner: x along the length, y along the width */
};

/* Sheets that are cut alike. */
struct sg_layout_used {
    int32_t size;                                   /* index into the input's sizes */
    int64_t copies;                                 /* sheets, 1 and more */
    int64_t first, n_pieces;                        /* the placements of one of them */
    double drop_x, drop_y, drop_length, drop_width; /* mm of the largest rectangle that could still be cut
                                                       out, gap and margin kept; 0 where none */
};

#endif
