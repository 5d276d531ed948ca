/* Which column of a parts list is what (columns.c), and what the files of the parts list share. */
#ifndef SANDGLASS_EXCHANGE_COLUMNS_H
#define SANDGLASS_EXCHANGE_COLUMNS_H

#include "exchange/exchange.h"

enum sg_column_meaning {
    SG_COLUMN_UNKNOWN,  /* left out and said */
    SG_COLUMN_LEFT_OUT, /* as the map wants */
    SG_COLUMN_OUTLINE,  /* a file, which the desk brings in */
    SG_COLUMN_PART,
    SG_COLUMN_MATERIAL,
    SG_COLUMN_THICKNESS, /* the stock's field */
    SG_COLUMN_FIELD      /* a field of the part */
};

struct sg_column {
    enum sg_column_meaning meaning;
    const char *name;             /* ours; NULL where it is left out */
    const struct sg_field *field; /* of THICKNESS and FIELD */
    int index;                    /* of FIELD in sg_fields(SG_KIND_PART) */
    const struct sg_unit *bare;   /* unit that is said with it; NULL: the field's */
    bool from_header;             /* it is said in the header */
    bool guessed;                 /* the header may mean something else */
};

/* Give each header its meaning: how->goes_to first, then how->map, then our names, then how others spell
 * them. name:line is where the header stands.
 * Where rows cannot be read by it, since a column of ours stands twice or `part` nowhere, *unmatched is set
 * with how->any_header; else that is SG_BAD_DATA. */
enum sg_status sg_columns_match(const char *name, int line, const char *const *header, int n_header,
                                const struct sg_list_how *how, struct sg_column *columns, bool *unmatched,
                                struct sg_error *error);

/* Whether one of them goes to `ours`. */
bool sg_columns_have(const struct sg_column *columns, int n, const char *ours);

/* Add what is to be said, if anything, of column `index`, that it is left out or taken for something; behind
 * the last of them, what the list lacks. grouped: its rows go to the stocks of their material and thickness.
 */
enum { SG_COLUMNS_NEEDED = 3 };
void sg_columns_say(const struct sg_column *columns, const char *const *header, int n, bool grouped,
                    int index, struct sg_text *out);

/* Read a parts list of rows that are there already, the header first: cells(context, row, out) gives the
 * n_columns cells of one. They stand for themselves: no guard, no blanks to be taken off. Else as
 * sg_parts_list_read. (parts_list.c) */
enum sg_status sg_parts_list_cells(const char *name, int n_columns, int n_rows,
                                   void (*cells)(const void *context, int row, const char **cells),
                                   const void *context, const struct sg_shop *shop,
                                   const struct sg_list_how *how, struct sg_parts_list *out,
                                   struct sg_error *error);

/* The cell of a file without its guard and the blanks around it, lines within it ending in LF; in the arena
 * where it is another text then. NULL when memory is out. (list_cell.c) */
const char *sg_list_cell(struct sg_arena *arena, const char *cell);

/* The cells of a row in the arena; NULL when memory is out. (list_cell.c) */
const char *const *sg_list_cells(struct sg_arena *arena, const struct sg_csv_row *row);

/* How others spell our columns (spellings.c), as names are compared: lower case, underscores between words.
 */
enum { SG_SPELLINGS = 74 };
struct sg_spelling {
    const char *spelled, *ours;
    bool guess; /* means something else in some lists: only where no other column is that */
};
extern const struct sg_spelling sg_spellings[SG_SPELLINGS];

#endif
