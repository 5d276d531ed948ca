/* What the office gets, looked at before it is written. */
#ifndef SANDGLASS_SHEET_PREVIEW_H
#define SANDGLASS_SHEET_PREVIEW_H

#include "exchange/exchange.h"

enum { SG_PREVIEW_NAMED = 3, SG_PREVIEW_COLUMNS = 32, SG_PREVIEW_CELL = 60 };

/* Texts of one column that a spreadsheet may show changed. */
struct sg_preview_column {
    char title[SG_PREVIEW_CELL];
    bool text; /* a column of texts that are meant to stay as they are */
    int n_change;
    char named[SG_PREVIEW_NAMED][SG_PREVIEW_CELL]; /* the first of them */
};

/* A CSV read back as it would be written. */
struct sg_preview {
    int n_rows, n_columns, n_guarded;
    char guarded[SG_PREVIEW_CELL]; /* the first cell with a guard, which is on */
    struct sg_preview_column columns[SG_PREVIEW_COLUMNS];
};

/* Read it; what sg_csv_read says. */
enum sg_status sg_preview_read(const char *csv, size_t length, struct sg_preview *out,
                               struct sg_error *error);

#endif
