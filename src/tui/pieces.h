/* What lies where on the sheets of a job, as rectangles: all that the picture of a sheet knows of a layout.
 */
#ifndef SANDGLASS_TUI_PIECES_H
#define SANDGLASS_TUI_PIECES_H

#include "sandglass/placement.h"
#include "tui/inside.h"

/* One sheet (of a stack: all of its sheets, cut at once). */
struct sg_sheet_page {
    int32_t stock, part;                 /* indexes into the shop; part: of the first piece */
    int64_t index, of;                   /* among the sheets of the job from 0, and how many those are */
    int64_t number, total;               /* among those of its stock from 1; total 0: not known */
    int64_t alike;                       /* sheets of the stock that are cut alike */
    int64_t n;                           /* pieces on it */
    bool known;                          /* else lengths are missing, or no piece fits: nothing is placed */
    double length, width;                /* mm of the sheet as it lies: x along length, y along width */
    int32_t first_part;                  /* of the stock, index into the shop */
    const struct sg_plan_layout *layout; /* of the stock; NULL where nothing is placed */
    const struct sg_layout_used *used;
    const struct sg_placement *placements; /* n, in cutting order */
    const unsigned char *states;           /* n of enum sg_piece_state; NULL: nothing of it was noted */
};

/* By what was noted of the stock. Under the head is the first piece that is not counted on the sheet whose
 * clock runs. */
enum sg_piece_state { SG_PIECE_NEXT, SG_PIECE_DONE, SG_PIECE_UNDER_HEAD };

/* Fill *states, which is given room by realloc, of a page of the plan; false where nothing of its stock was
 * noted, or memory is out (sheet_states.c). */
bool sg_sheet_states(struct sg_ui *ui, const struct sg_sheet_page *page, unsigned char **states);

struct sg_piece {
    double x, y, length, width; /* mm from the sheet's corner */
    int32_t part;
    int64_t number; /* in the cutting order of the sheet, from 1 */
    bool turned, flipped;
};

/* Sheets that the job's pieces need; of a part whose sheets are not known, one. 0 where nothing is cut. */
int64_t sg_sheet_pages(const struct sg_look *look, int32_t job);

/* The sheet with that index, in cutting order; the last one where there are fewer. False where there is none.
 */
bool sg_sheet_page(const struct sg_look *look, int32_t job, int64_t index, struct sg_sheet_page *out);

/* Piece i (from 0 to n - 1) of a sheet, in cutting order. */
struct sg_piece sg_sheet_piece(const struct sg_sheet_page *page, int64_t i);

/* How many pieces of a part lie on a sheet. */
int64_t sg_sheet_pieces_of(const struct sg_sheet_page *page, int32_t part);

/* Index among the sheets of a job of the one whose clock runs; -1 where none does (sheet_states.c). */
int64_t sg_sheet_under_head(struct sg_ui *ui, int32_t job);

/* The letter of a piece's part, small: its key where all keys of the stock are letters, else by its place. */
char sg_piece_letter(const struct sg_shop *shop, int32_t part);

/* Whether the table ends before the sheet does. */
bool sg_sheet_beyond_table(const struct sg_shop *shop, const struct sg_sheet_page *page);

/* A sheet in cells; a line is as high as two columns are wide. Closer by half for each step of zoom, the
 * piece in its middle. */
struct sg_sheet_view {
    double cell, x, y; /* mm of a column; of the sheet at the left and upper edge */
    int columns, rows; /* of cells that the sheet takes */
};
struct sg_sheet_view sg_sheet_view(const struct sg_sheet_page *page, const struct sg_piece *at, int zoom,
                                   int columns, int rows);

/* Draw a sheet whose pieces are known: letters of the part, within its outline where that is known and has
 * room, in the corner of a piece its number where that has room; the piece `at` in capitals; "#" for those
 * that are done and "*" for the one under the head; "|" where the table ends below a longer sheet. */
void sg_sheet_draw(struct sg_canvas *canvas, struct sg_area area, const struct sg_shop *shop,
                   const struct sg_sheet_page *page, int64_t at, int zoom);

/* Rows of figures about a sheet and the piece `at` on it (sheet_figures.c). */
void sg_sheet_figures(struct sg_canvas *canvas, struct sg_area area, const struct sg_look *look,
                      const struct sg_sheet_page *page, int64_t at);

/* The sheet and the piece that one stands on, on the Sheet screen; false where nothing is placed. */
bool sg_sheet_stands(struct sg_ui *ui, struct sg_sheet_page *page, struct sg_piece *piece);

/* A length as figures there show it, without unit; and "8 x 6 in". */
const char *sg_sheet_length(const struct sg_look *look, double mm, char out[40]);
void sg_sheet_lengths(const struct sg_look *look, double a, double b, char *out, size_t size);

#endif
