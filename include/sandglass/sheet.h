/* Sheets: mass, load on the slats, kerf, and how often a long one is moved along. */
#ifndef SANDGLASS_SHEET_H
#define SANDGLASS_SHEET_H

#include <stdbool.h>
#include <stdint.h>

/* Mass in kg of length x width x thickness mm at a density in kg/m3. */
double sg_sheet_mass(double length, double width, double thickness, double density);

/* Load in kg/m2 that a height of mm of material puts on the slats: height x density. */
double sg_slat_load(double height, double density);

/* Cuts that give so many pieces where so many sheets are cut at once. */
static inline int64_t sg_stack_cuts(int32_t stack, int64_t pieces)
{
    return stack == 1 ? pieces : (pieces + stack - 1) / stack;
}

/* Kerf width in mm, an estimate: 1.05 x bore of the tube now; water only 1.2 x orifice. */
double sg_kerf(bool abrasive, double bore);

/* Whether a sheet that wide mm does not lie on a table that wide; and whether it is turned because only its
 * other side does. */
bool sg_sheet_too_wide(double table_width, double width);
bool sg_sheet_lies_across(double table_width, double length, double width);

/* Index moves before what reaches `reach` mm from the loading end can be cut on a table of that length:
 * ceil(X / T) - 1. Basis: common practice. */
int64_t sg_index_moves(double reach, double table_length);

#endif
