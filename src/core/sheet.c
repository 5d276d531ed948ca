#include "sandglass/sheet.h"

#include <math.h>

double sg_sheet_mass(double length, double width, double thickness, double density)
{
    return length / 1000 * (width / 1000) * (thickness / 1000) * density;
}

double sg_slat_load(double height, double density)
{
    return height / 1000 * density;
}

double sg_kerf(bool abrasive, double bore)
{
    return abrasive ? 1.05 * bore : 1.2 * bore;
}

bool sg_sheet_too_wide(double table_width, double width)
{
    return width > table_width * (1 + 1e-12);
}

bool sg_sheet_lies_across(double table_width, double length, double width)
{
    return sg_sheet_too_wide(table_width, width) && !sg_sheet_too_wide(table_width, length);
}

int64_t sg_index_moves(double reach, double table_length)
{
    if (reach <= table_length) /* nearly always: no division on the way of a keystroke */
        return 0;
    double moves = ceil(reach / table_length - 1e-9) - 1;
    return moves > 0 ? (int64_t)moves : 0;
}
