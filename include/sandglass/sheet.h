/* Sheets: mass, load on the slats, and how many pieces go where.
 *
 * The placing here is the plain one: a sheet holds one kind of part in straight rows and columns, all of one
 * part before the next. It never counts too few sheets for that rule and often more than a good layout would
 * need. */
#ifndef SANDGLASS_SHEET_H
#define SANDGLASS_SHEET_H

#include <stdbool.h>
#include <stdint.h>

/* Mass in kg of length x width x thickness mm at a density in kg/m3. */
double sg_sheet_mass(double length, double width, double thickness, double density);

/* Load in kg/m2 that a height of mm of material puts on the slats: height x density. */
double sg_slat_load(double height, double density);

/* Kerf width in mm, an estimate: 1.05 x bore of the tube now; water only 1.2 x orifice. */
double sg_kerf(bool abrasive, double bore);

struct sg_grid {
    int64_t along, across; /* pieces along the sheet's length on the table, and across it */
    double reach;          /* mm from the loading end to the far edge of the first column, margin added */
    double pitch;          /* mm from one column to the next */
};

/* The better of the two turnings (the unturned if equal; only the unturned unless `turn`) of pieces length x
 * width mm on a sheet whose length lies along the table: floor((L - 2 m + s) / (l + s)) x floor((W - 2 m + s)
 * / (w + s)), with 1e-9 of slack so that a row that just fits does. along x across is 0 where not one piece
 * fits. */
struct sg_grid sg_sheet_grid(double sheet_length, double sheet_width, double margin, double spacing,
                             double length, double width, bool turn);

/* Index moves before column `column` (from 0) can be cut on a table of that length: ceil(X / T) - 1 with X
 * the far edge of that column plus margin. */
int64_t sg_index_moves(const struct sg_grid *grid, double table_length, int64_t column);

#endif
