/* How offices spell the columns of a parts list, and what is said of the columns. */
#include "exchange/columns.h"

#include <string.h>

/* Guesses come in the order in which they are tried. */
const struct sg_spelling sg_spellings[SG_SPELLINGS] = {
    {"part_no", "part", false},
    {"part_number", "part", false},
    {"part_num", "part", false},
    {"part_nr", "part", false},
    {"part_#", "part", false},
    {"part_id", "part", false},
    {"part_code", "part", false},
    {"qty", "quantity", false},
    {"qnty", "quantity", false},
    {"quant", "quantity", false},
    {"pcs", "quantity", false},
    {"pieces", "quantity", false},
    {"count", "quantity", false},
    {"qty_pcs", "quantity", false},
    {"qty_ea", "quantity", false},
    {"qty_req", "quantity", false},
    {"qty_reqd", "quantity", false},
    {"qty_req'd", "quantity", false},
    {"qty_required", "quantity", false},
    {"quantity_required", "quantity", false},
    {"no_off", "quantity", false},
    {"no_of_pieces", "quantity", false},
    {"no_of_pcs", "quantity", false},
    {"no_required", "quantity", false},
    {"thk", "thickness", false},
    {"thck", "thickness", false},
    {"thick", "thickness", false},
    {"thickn", "thickness", false},
    {"plate_thickness", "thickness", false},
    {"sheet_thickness", "thickness", false},
    {"material_thickness", "thickness", false},
    {"mat", "material", false},
    {"matl", "material", false},
    {"mat'l", "material", false},
    {"mtl", "material", false},
    {"desc", "name", false},
    {"descr", "name", false},
    {"description", "name", false},
    {"part_name", "name", false},
    {"part_description", "name", false},
    {"len", "length", false},
    {"wid", "width", false},
    {"cut_len", "cut_length", false},
    {"cutting_length", "cut_length", false},
    {"length_of_cut", "cut_length", false},
    {"pierce_count", "pierces", false},
    {"no_of_pierces", "pierces", false},
    {"notes", "note", false},
    {"remark", "note", false},
    {"remarks", "note", false},
    {"comment", "note", false},
    {"comments", "note", false},
    {"drawing_no", "part", true},
    {"drawing_number", "part", true},
    {"drawing", "part", true},
    {"dwg_no", "part", true},
    {"dwg", "part", true},
    {"item_no", "part", true},
    {"item_number", "part", true},
    {"item", "part", true},
    {"mark", "part", true},
    {"id", "part", true},
    {"pos", "part", true},
    {"no", "part", true},
    {"nr", "part", true},
    {"number", "part", true},
    {"no", "quantity", true},
    {"nos", "quantity", true},
    {"number", "quantity", true},
    {"alloy", "material", true},
    {"grade", "material", true},
    {"t", "thickness", true},
    {"l", "length", true},
    {"w", "width", true},
};

bool sg_columns_have(const struct sg_column *columns, int n, const char *ours)
{
    for (int i = 0; i < n; i++)
        if (columns[i].name && strcmp(columns[i].name, ours) == 0)
            return true;
    return false;
}

/* A column that is left out or guessed, but not one that the map leaves out. */
static void say_column(const struct sg_column *column, const char *header, struct sg_text *out)
{
    enum { SHOWN_MAX = 40 };
    if (column->meaning != SG_COLUMN_UNKNOWN && !column->guessed)
        return;
    sg_text_put(out, "column \"");
    sg_text_shown(out, header, SHOWN_MAX);
    if (column->guessed)
        sg_text_format(out, "\" is taken for %s, as no other column is", column->name);
    else
        sg_text_put(out, "\" is not known and left out");
    sg_text_put(out, ": --map \"HEADER=COLUMN\" says what it is");
}

void sg_columns_say(const struct sg_column *columns, const char *const *header, int n, bool grouped,
                    int index, struct sg_text *out)
{
    static const struct {
        const char *ours, *sentence;
        bool grouped;
    } needed[SG_COLUMNS_NEEDED] = {
        {"quantity", "no quantity column: every part would be 1 piece", false},
        {"material", "no material column: nothing says which sheets the parts are cut from", true},
        {"thickness", "no thickness column: nothing says which sheets the parts are cut from", true},
    };
    if (index < n)
        say_column(&columns[index], header[index], out);
    else if ((grouped || !needed[index - n].grouped) && !sg_columns_have(columns, n, needed[index - n].ours))
        sg_text_put(out, needed[index - n].sentence);
}
