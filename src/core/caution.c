#include "sandglass/caution.h"

#include <stdio.h>
#include <string.h>

/* {a} and {b} stand for the figures of a caution, in the shop's units; {a:bag is|bags are} for the words
 * behind one and behind another number of them. */
static const struct {
    const char *word;
    enum sg_dimension a, b;
    const char *text;
} table[SG_CAUTIONS] = {
    [SG_CAUTION_NO_MATERIAL] = {"no_material", 0, 0, "no material: nothing of it can be timed; set material"},
    [SG_CAUTION_NO_THICKNESS] = {"no_thickness", 0, 0,
                                 "no thickness: nothing of it can be timed; set thickness"},
    [SG_CAUTION_NO_LENGTH] = {"no_length", 0, 0,
                              "no cut length: its cutting is in no total and the end is not known; set "
                              "cut_length, or outline to a drawing"},
    [SG_CAUTION_NO_BOX] =
        {"no_box", 0, 0,
         "no length and width: sheets and rapids are not counted, one load is planned; set length and width"},
    [SG_CAUTION_NO_SHEET] =
        {"no_sheet", 0, 0,
         "no sheet size: sheets are not counted, one load a part is planned; set sheet_length and "
         "sheet_width"},
    [SG_CAUTION_DOES_NOT_FIT] =
        {"does_not_fit", SG_DIM_LENGTH, SG_DIM_LENGTH,
         "a piece of {a} x {b} does not fit on the sheet inside its margin: take a larger sheet"},
    [SG_CAUTION_SHEETS_SHORT] =
        {"sheets_short", SG_DIM_NUMBER, SG_DIM_NUMBER,
         "{a} {a:sheet is|sheets are} needed, {b} {b:is|are} on hand: get more, or cut "
         "fewer pieces"},
    [SG_CAUTION_CROSSES_INDEX] =
        {"crosses_index", SG_DIM_NUMBER, 0,
         "{a} {a:cut crosses|cuts cross} the line at which the sheet is moved along: the contour is taken up "
         "again there and shows a step; turn the part, or take shorter sheets"},
    [SG_CAUTION_SHEET_OFF_TABLE] =
        {"sheet_off_table", SG_DIM_LENGTH, SG_DIM_LENGTH,
         "the sheet's narrow side of {a} is wider than the table of {b}: cut it down first"},
    [SG_CAUTION_REMNANT_OFF_TABLE] = {"remnant_off_table", SG_DIM_NUMBER, SG_DIM_LENGTH,
                                      "{a} {a:remnant is|remnants are} wider than the table of {b}, as "
                                      "{a:it|they} would lie: not counted; "
                                      "cut {a:it|them} down first"},
    [SG_CAUTION_OVER_SLAT_LOAD] =
        {"over_slat_load", SG_DIM_AREAL, SG_DIM_AREAL,
         "it loads the slats with {a}, they carry {b}: stack less, or spread it on extra slats"},
    [SG_CAUTION_OVER_Z_TRAVEL] = {"over_z_travel", SG_DIM_LENGTH, SG_DIM_LENGTH,
                                  "{a} of material, the head lifts over {b}: stack less or cut it elsewhere"},
    [SG_CAUTION_WATER_NO] = {"water_no", 0, 0,
                             "water alone does not cut this material: take a head with garnet"},
    [SG_CAUTION_ABRASIVE_SOFT] =
        {"abrasive_soft", 0, 0,
         "water alone cuts this material; garnet costs more and stays in the edge: take the "
         "water head"},
    [SG_CAUTION_NO_SPEED] =
        {"no_speed", 0, 0,
         "no speed with this head in this material: take another head, or type the feed of a trial "
         "cut"},
    [SG_CAUTION_NO_PIERCE] =
        {"no_pierce", 0, 0,
         "no time for a pierce with this head in this material: type the pierce_seconds of a "
         "trial, or pierce drilled"},
    [SG_CAUTION_WILL_NOT_CUT] = {"will_not_cut", SG_DIM_FEED, SG_DIM_FEED,
                                 "{a} is faster than the separation speed of {b}: it will not cut through"},
    [SG_CAUTION_TOP_FEED] = {"top_feed", SG_DIM_FEED, SG_DIM_FEED,
                             "the typed feed of {a} is above the machine's {b}, which is planned"},
    [SG_CAUTION_OUTSIDE_RANGE] =
        {"outside_range", 0, 0,
         "outside the range in which the speed formula was fitted: time a trial cut first"},
    [SG_CAUTION_LOADING_RATIO] =
        {"loading_ratio", SG_DIM_NUMBER, 0,
         "garnet over water is {a}, above 0.25: the formula goes on rising there, jets do not"},
    [SG_CAUTION_TUBE_RATIO] =
        {"tube_ratio", SG_DIM_NUMBER, 0,
         "the mixing tube is {a} times the orifice; 3 to 3.5 is usual, 2.5 to 4.5 the most"},
    [SG_CAUTION_PUMP_PRESSURE] = {"pump_pressure", SG_DIM_PRESSURE, SG_DIM_PRESSURE,
                                  "the head asks for {a}, the pump gives {b}: lower the head's pressure"},
    [SG_CAUTION_PUMP_FLOW] =
        {"pump_flow", SG_DIM_FLOW, SG_DIM_FLOW,
         "the orifices let {a} through, the pump gives {b}: smaller orifices or fewer heads"},
    [SG_CAUTION_PUMP_POWER] =
        {"pump_power", SG_DIM_POWER, SG_DIM_POWER,
         "the jets ask for {a} at the pump's shaft, it has {b}: smaller orifices, less pressure"},
    [SG_CAUTION_SMALL_PART] =
        {"small_part", SG_DIM_LENGTH, SG_DIM_LENGTH,
         "its longer side of {a} is below the slat pitch of {b}: it may drop or tip into the head; "
         "use tabs or a basket"},
    [SG_CAUTION_WEAR_IN_SHEET] =
        {"wear_in_sheet", SG_DIM_DURATION, SG_DIM_DURATION,
         "one sheet cuts for {a}, longer than the life of {b} of tube or orifice: it will wear "
         "out in the sheet"},
    [SG_CAUTION_OUT_OF_GARNET] =
        {"out_of_garnet", SG_DIM_NUMBER, 0,
         "the garnet ends here and the run stops, at least {a} {a:bag|bags} short: order bags or "
         "move work"},
    [SG_CAUTION_STOPS_IN_CUT] =
        {"stops_in_cut", SG_DIM_MASS, SG_DIM_MASS,
         "one cut takes {a} of garnet, a full hopper gives {b}: it stops in a cut and leaves a "
         "mark; split the part"},
    [SG_CAUTION_PART_BAG] =
        {"part_bag", 0, 0,
         "a refill ends with part of a bag, the rest is counted as used: fill earlier or a smaller bag"},
    [SG_CAUTION_LONG_PIECE] =
        {"long_piece", SG_DIM_DURATION, SG_DIM_DURATION,
         "a piece takes {a}, longer than any gap between breaks ({b}): it runs into a break"},
    [SG_CAUTION_LATE] = {"late", SG_DIM_DURATION, 0,
                         "done {a} after its due time: cut it earlier or tell the customer"},
    [SG_CAUTION_CLOSED_DAY] =
        {"closed_day", 0, 0,
         "it lies on a day on which nobody works: nothing of it is cut; give it another date"},
    [SG_CAUTION_SHEET_ON] =
        {"sheet_on", 0, 0,
         "the sheet said to lie on the table is not of the stock that is cut first: its load is "
         "planned; set sheet_on"},
    [SG_CAUTION_LEVEL_READ] =
        {"level_read", SG_DIM_DURATION, 0,
         "the hopper was read {a} before the shift or after its start: read it again and set "
         "hopper_level and hopper_read"},
    [SG_CAUTION_CLEAN_OUT] =
        {"clean_out", SG_DIM_MASS, SG_DIM_MASS,
         "the tank will hold {a} of garnet since its last clean-out, {b} is the limit: plan the "
         "clean-out"},
    [SG_CAUTION_ORDER_BAGS] =
        {"order_bags", SG_DIM_NUMBER, SG_DIM_NUMBER,
         "{a} {a:bag is|bags are} to be ordered, so that {b} {b:is|are} left after the plan"},
    [SG_CAUTION_SERVICE_OVER] =
        {"service_over", SG_DIM_DURATION, SG_DIM_DURATION,
         "it was due after {b}, and {a} are counted: the plan has it before the first "
         "sheet"},
    [SG_CAUTION_SERVICE_DAYS] =
        {"service_days_over", SG_DIM_NUMBER, SG_DIM_NUMBER,
         "it was due {b} {b:day|days} after the last, which was {a} {a:day|days} ago: "
         "the plan has it before the first sheet"},
    [SG_CAUTION_SILICA] =
        {"silica", 0, 0,
         "dust and dried sludge hold crystalline silica: keep it wet, no dry sweeping, follow local "
         "limits (29 CFR 1910.1053 has 50 ug/m3)"},
    [SG_CAUTION_HYDROGEN] =
        {"hydrogen", 0, 0,
         "fines in the tank give off hydrogen, which burns from 4 % in air: ventilate, never leave "
         "the tank closed"},
    [SG_CAUTION_BERYLLIUM] =
        {"beryllium", 0, 0,
         "dust and sludge hold beryllium, harmful in traces (29 CFR 1910.1024): only with a "
         "qualified person's plan"},
    [SG_CAUTION_TOXIC] = {"toxic", 0, 0,
                          "its sludge is regulated waste: keep it apart and follow local codes"},
    [SG_CAUTION_BRITTLE] =
        {"brittle", 0, 0,
         "brittle or layered and pierced at full pressure: it may crack; pierce low or drilled"},
    [SG_CAUTION_TEMPERED] = {"tempered", 0, 0,
                             "tempered glass breaks when it is cut: make sure that it is not tempered"},
    [SG_CAUTION_LAMINATE] =
        {"laminate", 0, 0,
         "layers may part where it is pierced: start at low pressure, drilled or from an edge"},
    [SG_CAUTION_VERIFY] =
        {"verify", 0, 0,
         "the cutting figure of this material is doubtful: time a trial cut before promising"},
    [SG_CAUTION_GARNET_VESSEL] =
        {"garnet_vessel", 0, 0,
         "a pressurised garnet vessel is vented and shown to be at zero before it is opened; "
         "filling while cutting is for unpressurised ones only"},
    [SG_CAUTION_HEAVY_BAG] =
        {"heavy_bag", SG_DIM_MASS, 0,
         "a bag of {a} is more than many codes let one person lift alone: lift by two or a hoist"},
    [SG_CAUTION_HEAVY_SHEET] =
        {"heavy_sheet", SG_DIM_MASS, 0,
         "a sheet weighs {a}, the heaviest of the plan: lift it with gear made for it, nobody "
         "under it"},
    [SG_CAUTION_LOCK_OUT] =
        {"lock_out", 0, 0,
         "before an orifice or tube is changed: lock out, bleed down, verify zero pressure"},
    [SG_CAUTION_UNATTENDED] =
        {"unattended", 0, 0,
         "alone means only that the plan asks for no person; whether the machine may run "
         "unattended is for the shop's rules, its insurer, the maker's manual and local codes"},
    [SG_CAUTION_JET] =
        {"jet", 0, 0,
         "never a hand near the jet: a small jet wound hides deep harm and is a surgical emergency at "
         "once; wear hearing protection"},
};

const char *sg_caution_word(int code)
{
    return table[code].word;
}

static int put_figure(double value, enum sg_dimension dimension, enum sg_unit_system units, char *out,
                      size_t size)
{
    char number[64];
    if (dimension == SG_DIM_DURATION) {
        sg_duration_format(value, number, sizeof number);
        return snprintf(out, size, "%s", number);
    }
    if (dimension == SG_DIM_NUMBER)
        return snprintf(out, size, value == floor(value) ? "%.0f" : "%.4g", value);
    const struct sg_unit *unit = sg_unit_of_shop(dimension, units);
    int decimals = fabs((double)sg_from_canonical(value, unit)) < 10 ? 3 : 1;
    sg_number_format(value, unit, decimals, number, sizeof number);
    return snprintf(out, size, "%s %s", number, unit->name);
}

/* What a brace and what is in it stand for. */
static int put_braced(const char *text, const struct sg_caution *caution, enum sg_unit_system units,
                      char *out, size_t size)
{
    bool a = text[1] == 'a';
    double value = a ? caution->a : caution->b;
    if (text[2] == '}')
        return put_figure(value, a ? table[caution->code].a : table[caution->code].b, units, out, size);
    const char *one = text + 3, *others = strchr(one, '|') + 1;
    if (value == 1)
        return snprintf(out, size, "%.*s", (int)(others - 1 - one), one);
    return snprintf(out, size, "%.*s", (int)strcspn(others, "}"), others);
}

int sg_caution_text(const struct sg_caution *caution, enum sg_unit_system units, char *out, size_t size)
{
    const char *text = table[caution->code].text;
    size_t used = 0;
    while (*text) {
        char *at = used < size ? out + used : NULL;
        size_t room = used < size ? size - used : 0;
        if (*text == '{') {
            used += (size_t)put_braced(text, caution, units, at, room);
            text += strcspn(text, "}") + 1;
        } else {
            size_t n = strcspn(text + 1, "{") + 1;
            used += (size_t)snprintf(at, room, "%.*s", (int)n, text);
            text += n;
        }
    }
    return (int)used;
}
