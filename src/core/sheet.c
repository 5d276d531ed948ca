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

static int64_t in_a_row(double room, double margin, double spacing, double piece)
{
    double fit = (room - 2 * margin + spacing) / (piece + spacing) + 1e-9;
    return fit > 0 && fit < 1e9 ? (int64_t)fit : 0; /* the cast is the floor */
}

static struct sg_grid one_grid(double sheet_length, double sheet_width, double margin, double spacing,
                               double length, double width)
{
    struct sg_grid grid = {.along = in_a_row(sheet_length, margin, spacing, length),
                           .across = in_a_row(sheet_width, margin, spacing, width),
                           .reach = margin + length + margin,
                           .pitch = length + spacing};
    return grid;
}

struct sg_grid sg_sheet_grid(double sheet_length, double sheet_width, double margin, double spacing,
                             double length, double width, bool turn)
{
    struct sg_grid straight = one_grid(sheet_length, sheet_width, margin, spacing, length, width);
    if (!turn)
        return straight;
    struct sg_grid turned = one_grid(sheet_length, sheet_width, margin, spacing, width, length);
    return turned.along * turned.across > straight.along * straight.across ? turned : straight;
}

int64_t sg_index_moves(const struct sg_grid *grid, double table_length, int64_t column)
{
    double reach = grid->reach + (double)column * grid->pitch;
    if (reach <= table_length) /* nearly always: no division on the way of a keystroke */
        return 0;
    double moves = ceil(reach / table_length - 1e-9) - 1;
    return moves > 0 ? (int64_t)moves : 0;
}
