/* The table itself. Ranges say what is possible at all (refused outside) and what is odd (kept and marked).
 */
#include "sandglass/field.h"

#include <stddef.h>
#include <string.h>

const char *const sg_words_yes_no[] = {"no", "yes", NULL};
const char *const sg_words_head_kind[] = {"abrasive", "water", NULL};
const char *const sg_words_pierce[] = {"still", "moving", "low", "drilled", NULL};
const char *const sg_words_edge[] = {"separation", "coarse", "medium", "fine", "finest", NULL};
const char *const sg_words_hazard[] = {"silica",   "hydrogen", "beryllium", "toxic", "brittle",
                                       "tempered", "laminate", "verify",    NULL};
static const char *const words_pump[] = {"direct", "intensifier", NULL};
const char *const sg_words_owner[] = {"shop", "customer", NULL};
static const char *const words_chore_when[] = {"shift_start", "job", "sheet", "piece",
                                               "shift_end",   "due", NULL};
static const char *const words_counts[] = {"pump", "table", "calendar", NULL};
static const char *const words_phase[] = {"cut", "load", "check", NULL};
const char *const sg_words_record[] = {"stop",  "pause", "resume",   "done",      "scrap",   "fill",
                                       "level", "weigh", "tube",     "orifice",   "service", "note",
                                       "close", "moved", "not_done", "not_scrap", NULL};
static const char *const words_refill_at[] = {"pieces", "sheets", NULL};
static const char *const words_refill_amount[] = {"full", "enough", NULL};
static const char *const words_refill_when[] = {"latest", "least_wait", NULL};
static const char *const words_basis[] = {"typed",    "shop",     "published", "derived",
                                          "recalled", "practice", "estimate",  NULL};

enum {
    OPT = SG_FIELD_OPTIONAL,
    ABOVE = SG_FIELD_ABOVE_MIN,
    MISSING = SG_FIELD_MISSING,
};

#define MONEY 1e9 /* the most that a price may be */

/* One row of each type. The macros only save writing the same designators a hundred times. */
#define NUMBER(f, c, m, dim, fl, lo, hi, od, text)                                                           \
    {                                                                                                        \
        .kind = KIND, .name = f, .column = c, .type = SG_FIELD_NUMBER, .dimension = dim,                     \
        .offset = offsetof(STRUCT, m), .count = 1, .flags = fl, .min = lo, .max = hi, .odd = od,             \
        .meaning = text                                                                                      \
    }
#define NUMBERS(f, c, m, dim, n, w, lo, hi, text)                                                            \
    {                                                                                                        \
        .kind = KIND, .name = f, .column = c, .type = SG_FIELD_NUMBERS, .dimension = dim,                    \
        .offset = offsetof(STRUCT, m), .count = n, .words = w, .min = lo, .max = hi, .meaning = text         \
    }
/* Seconds that a person works: 1:30 is m:ss, a bare number is minutes. */
#define HANDS_ON(f, c, m, fl, text)                                                                          \
    {                                                                                                        \
        .kind = KIND, .name = f, .column = c, .type = SG_FIELD_NUMBER, .dimension = SG_DIM_DURATION,         \
        .offset = offsetof(STRUCT, m), .count = 1, .flags = fl, .max = 86400, .odd = 4 * 3600,               \
        .colon = SG_COLON_MIN_S, .bare_us = "min", .bare_metric = "min", .meaning = text                     \
    }
#define LIFE(f, c, m, fl, text)                                                                              \
    {                                                                                                        \
        .kind = KIND, .name = f, .column = c, .type = SG_FIELD_NUMBER, .dimension = SG_DIM_DURATION,         \
        .offset = offsetof(STRUCT, m), .count = 1, .flags = fl, .max = 3.6e8, .odd = 3.6e6,                  \
        .colon = SG_COLON_H_MIN, .bare_us = "h", .bare_metric = "h", .meaning = text                         \
    }
#define SECONDS(f, c, m, fl, text)                                                                           \
    {                                                                                                        \
        .kind = KIND, .name = f, .column = c, .type = SG_FIELD_NUMBER, .dimension = SG_DIM_DURATION,         \
        .offset = offsetof(STRUCT, m), .count = 1, .flags = fl, .max = 86400, .odd = 1800,                   \
        .colon = SG_COLON_MIN_S, .meaning = text                                                             \
    }
#define WHOLE(f, c, m, fl, lo, hi, od, text)                                                                 \
    {                                                                                                        \
        .kind = KIND, .name = f, .column = c, .type = SG_FIELD_WHOLE, .dimension = SG_DIM_NUMBER,            \
        .offset = offsetof(STRUCT, m), .count = 1, .flags = fl, .min = lo, .max = hi, .odd = od,             \
        .meaning = text                                                                                      \
    }
#define CHOICE(f, c, m, fl, w, text)                                                                         \
    {                                                                                                        \
        .kind = KIND, .name = f, .column = c, .type = SG_FIELD_CHOICE, .offset = offsetof(STRUCT, m),        \
        .count = 1, .flags = fl, .words = w, .meaning = text                                                 \
    }
#define TEXT(f, c, m, size, text)                                                                            \
    {                                                                                                        \
        .kind = KIND, .name = f, .column = c, .type = SG_FIELD_TEXT, .offset = offsetof(STRUCT, m),          \
        .count = 1, .flags = OPT, .max = size, .meaning = text                                               \
    }
#define OTHER(f, c, m, t, fl, text)                                                                          \
    {                                                                                                        \
        .kind = KIND, .name = f, .column = c, .type = t, .offset = offsetof(STRUCT, m), .count = 1,          \
        .flags = fl, .meaning = text                                                                         \
    }

#define KIND SG_KIND_JOB
#define STRUCT struct sg_job
static const struct sg_field job_fields[] = {
    TEXT("name", "name", name, SG_TEXT_MAX, "what the job is called"),
    TEXT("customer", "customer", customer, SG_TEXT_MAX, "whom it is for"),
    OTHER("due", "due", due, SG_FIELD_MOMENT, OPT, "date, or date and time, by which it is to be done"),
    TEXT("note", "note", note, SG_NOTE_MAX, "anything worth knowing about the job"),
    OTHER("shift", "shift_id", shift, SG_FIELD_SHIFT, 0, "the shift that cuts it"),
    WHOLE("order", "position", order, 0, 1, 1000000, 0, "its place among the jobs of the shift, from 1"),
};
#undef KIND
#undef STRUCT

#define KIND SG_KIND_STOCK
#define STRUCT struct sg_stock
static const struct sg_field stock_fields[] = {
    OTHER("material", "material_id", material, SG_FIELD_MATERIAL, MISSING, "what the sheets are made of"),
    NUMBER("thickness", "thickness_mm", thickness, SG_DIM_LENGTH, MISSING | ABOVE, 0, 1000, 200,
           "thickness of one sheet as measured"),
    WHOLE("stack", "stack", stack, 0, 1, 100, 10, "sheets cut at once, one on the other"),
    NUMBER("sheet_length", "sheet_length_mm", sheet_length, SG_DIM_LENGTH, OPT | ABOVE, 0, 100000, 15000,
           "length of a sheet, along the table's length"),
    NUMBER("sheet_width", "sheet_width_mm", sheet_width, SG_DIM_LENGTH, OPT | ABOVE, 0, 100000, 5000,
           "width of a sheet"),
    WHOLE("sheets", "sheets", sheets, OPT, 0, 1000000, 1000, "sheets on hand"),
    OTHER("head", "head_id", head, SG_FIELD_HEAD, OPT,
          "head that cuts it; none: the one usual for the material"),
    {.kind = KIND,
     .name = "edge",
     .column = "edge",
     .type = SG_FIELD_EDGE,
     .dimension = SG_DIM_NUMBER,
     .offset = offsetof(STRUCT, edge),
     .count = 1,
     .min = 1,
     .max = 5,
     .words = sg_words_edge,
     .meaning = "edge wanted, 1 separation to 5 finest"},
    CHOICE("pierce", "pierce", pierce, OPT, sg_words_pierce, "way to pierce; none: the material's"),
    HANDS_ON("load", "load_s", load, OPT,
             "time to take the last sheet off and put this one on; none: by mass"),
    HANDS_ON("first_check", "first_check_s", first_check, 0, "time to check the first piece of this stock"),
    NUMBER("gap", "gap_mm", gap, SG_DIM_LENGTH, 0, 0, 1000, 100, "distance between pieces, edge to edge"),
    NUMBER("margin", "margin_mm", margin, SG_DIM_LENGTH, 0, 0, 1000, 200,
           "distance of pieces from the sheet's edge"),
    {.kind = KIND,
     .name = "feed_override",
     .column = "feed_override",
     .type = SG_FIELD_NUMBER,
     .dimension = SG_DIM_RATIO,
     .offset = offsetof(STRUCT, feed_override),
     .count = 1,
     .min = 0.10,
     .max = 4.0,
     .odd = 2.0,
     .bare_us = "%",
     .bare_metric = "%",
     .meaning = "part of the model's traverse that is really used"},
    NUMBER("feed", "feed_mm_min", feed, SG_DIM_FEED, OPT | ABOVE, 0, 100000, 30000,
           "traverse typed by the shop; it wins over the model"),
    SECONDS("pierce_seconds", "pierce_seconds_s", pierce_seconds, OPT,
            "time of one pierce typed by the shop; it wins over the model"),
    CHOICE("turn", "turn", turn, 0, sg_words_yes_no, "pieces may be turned by 90 degrees on the sheet"),
    CHOICE("interlock", "interlock", interlock, 0, sg_words_yes_no,
           "pieces with outlines may lie into each other where that takes fewer sheets"),
    CHOICE("common_line", "common_line", common_line, 0, sg_words_yes_no,
           "straight sides of neighbours a kerf apart are cut once"),
    WHOLE("search", "search", search, 0, 0, 100000, 20000,
          "thousands of looks for a layout with fewer sheets; 0: only the quick ones"),
    OTHER("remnants", "remnants", remnants, SG_FIELD_SIZES, OPT,
          "smaller sheets on hand, used before whole ones, such as 24 x 16 x 2; 30 x 20"),
    OTHER("clamps", "clamps", clamps, SG_FIELD_PLACES, OPT,
          "places of each sheet that are kept free, such as 4 x 2 at 0 x 10"),
    CHOICE("fill", "fill", fill, 0, sg_words_yes_no,
           "fill the hopper when the first sheet of this stock is loaded, due or not"),
    CHOICE("owner", "owner", owner, 0, sg_words_owner, "whose sheets they are"),
    TEXT("lot", "lot", lot, SG_TEXT_MAX, "lot or heat number of the sheets, for the job sheet"),
    NUMBER("sheet_price", "sheet_price", sheet_price, SG_DIM_NUMBER, OPT, 0, MONEY, 100000,
           "price of one whole sheet, for quotes"),
};
#undef KIND
#undef STRUCT

#define KIND SG_KIND_PART
#define STRUCT struct sg_part
static const struct sg_field part_fields[] = {
    TEXT("name", "name", name, SG_TEXT_MAX, "what the part is called"),
    OTHER("outline", "outline_id", outline, SG_FIELD_OUTLINE, OPT,
          "drawing or part program that the part is measured from"),
    WHOLE("quantity", "quantity", quantity, 0, 0, 1000000, 100000, "finished pieces wanted; 0 is not cut"),
    NUMBER("cut_length", "cut_length_mm", cut_length, SG_DIM_LENGTH, OPT, 0, 1e7, 1e6,
           "length of all cuts of one piece, lead-ins included"),
    WHOLE("pierces", "pierces", pierces, 0, 0, 100000, 2000, "pierces of one piece; 0 starts at an edge"),
    NUMBER("length", "length_mm", length, SG_DIM_LENGTH, OPT | ABOVE, 0, 100000, 15000,
           "length of one piece's box"),
    NUMBER("width", "width_mm", width, SG_DIM_LENGTH, OPT | ABOVE, 0, 100000, 15000,
           "width of one piece's box"),
    NUMBER("area", "area_mm2", area, SG_DIM_AREA, OPT | ABOVE, 0, 1e10, 0,
           "net area of one piece; none: length times width"),
    NUMBER("rapid_length", "rapid_length_mm", rapid_length, SG_DIM_LENGTH, OPT, 0, 1e7, 1e6,
           "way between the cuts of one piece; none: half the box's sides for each pierce"),
    {.kind = KIND,
     .name = "edge",
     .column = "edge",
     .type = SG_FIELD_EDGE,
     .dimension = SG_DIM_NUMBER,
     .offset = offsetof(STRUCT, edge),
     .count = 1,
     .flags = OPT,
     .min = 1,
     .max = 5,
     .words = sg_words_edge,
     .meaning = "edge wanted, 1 separation to 5 finest; none: the stock's"},
    NUMBER("feed", "feed_mm_min", feed, SG_DIM_FEED, OPT | ABOVE, 0, 100000, 30000,
           "traverse typed by the shop; none: the stock's"),
    SECONDS("pierce_seconds", "pierce_seconds_s", pierce_seconds, OPT,
            "time of one pierce typed by the shop; none: the stock's"),
    TEXT("note", "note", note, SG_NOTE_MAX, "anything worth knowing about the part"),
    WHOLE("scrap", "scrap", scrap, 0, 0, 1000000, 1000, "pieces cut beyond the quantity, because some fail"),
    WHOLE("tabs", "tabs", tabs, 0, 0, 1000, 20,
          "tabs of one piece that hold it in its sheet and are broken after it"),
    {.kind = KIND,
     .name = "edge_least",
     .column = "edge_least",
     .type = SG_FIELD_EDGE,
     .dimension = SG_DIM_NUMBER,
     .offset = offsetof(STRUCT, edge_least),
     .count = 1,
     .flags = OPT,
     .min = 1,
     .max = 5,
     .words = sg_words_edge,
     .meaning = "coarsest edge that will do, when a shift is late; none: only the one wanted"},
};
#undef KIND
#undef STRUCT

#define KIND SG_KIND_SHIFT
#define STRUCT struct sg_shift
static const struct sg_field shift_fields[] = {
    OTHER("date", "date", date, SG_FIELD_DATE, 0, "day on which the shift starts"),
    OTHER("start", "start", start, SG_FIELD_TIME, 0, "local time at which it starts"),
    OTHER("end", "end", end, SG_FIELD_TIME, 0,
          "local time at which it ends; not after the start: the next day"),
    OTHER("breaks", "breaks", n_breaks, SG_FIELD_SPANS, OPT, "breaks of the people, 09:30-09:45,12:00-12:30"),
    CHOICE("run_in_breaks", "run_in_breaks", run_in_breaks, 0, sg_words_yes_no,
           "the machine may cut through a break"),
    CHOICE("fill_before_breaks", "fill_before_breaks", fill_before_breaks, 0, sg_words_yes_no,
           "fill the hopper at the last boundary before each break, due or not"),
    TEXT("sheet_on", "sheet_on", sheet_on, 80, "stock whose sheet lies on the table at the start, as 2604/1"),
    CHOICE("closed", "closed", closed, 0, sg_words_yes_no, "the shift is over; plan then shows the next one"),
    OTHER("closed_days", "closed_days", n_closed_days, SG_FIELD_DATES, OPT, "days on which nobody works"),
};
#undef KIND
#undef STRUCT

#define KIND SG_KIND_MACHINE
#define STRUCT struct sg_machine
static const struct sg_field machine_fields[] = {
    NUMBER("table_length", "table_length_mm", table_length, SG_DIM_LENGTH, ABOVE, 0, 100000, 0,
           "length of the cutting table"),
    NUMBER("table_width", "table_width_mm", table_width, SG_DIM_LENGTH, ABOVE, 0, 100000, 0,
           "width of the cutting table"),
    NUMBER("z_travel", "z_travel_mm", z_travel, SG_DIM_LENGTH, ABOVE, 0, 2000, 0,
           "highest stack under the head"),
    NUMBER("slat_load", "slat_load_kg_m2", slat_load, SG_DIM_AREAL, ABOVE, 0, 100000, 0,
           "load that the slats carry"),
    NUMBER("slat_pitch", "slat_pitch_mm", slat_pitch, SG_DIM_LENGTH, ABOVE, 0, 1000, 0,
           "distance of the slats"),
    NUMBER("top_feed", "top_feed_mm_min", top_feed, SG_DIM_FEED, ABOVE, 0, 200000, 0, "fastest cutting feed"),
    NUMBER("rapid", "rapid_mm_min", rapid, SG_DIM_FEED, ABOVE, 0, 200000, 0, "speed between cuts"),
    NUMBER("acceleration", "acceleration_mm_s2", acceleration, SG_DIM_ACCELERATION, ABOVE, 0, 100000, 0,
           "acceleration of the axes; used with outlines"),
    SECONDS("z_lift", "z_lift_s", z_lift, 0, "head up and down, once for each pierce"),
    NUMBERS("edge_error", "edge_error_%d_mm", edge_error, SG_DIM_LENGTH, SG_EDGES, sg_words_edge, 0.001, 10,
            "permitted radial error of edge 1 to 5; used with outlines"),
    {.kind = KIND,
     .name = "pierce_base",
     .column = "pierce_base_%d_s",
     .type = SG_FIELD_NUMBERS,
     .dimension = SG_DIM_DURATION,
     .offset = offsetof(STRUCT, pierce_base),
     .count = SG_PIERCE_WAYS,
     .words = sg_words_pierce,
     .max = 3600,
     .meaning = "seconds of a pierce whatever the thickness, each way"},
    NUMBERS("pierce_factor", "pierce_factor_%d", pierce_factor, SG_DIM_NUMBER, SG_PIERCE_WAYS,
            sg_words_pierce, 0, 1000, "times the thickness over the separation speed, each way to pierce"),
    TEXT("pierce_source", "pierce_source", pierce_source, SG_TEXT_MAX,
         "where pierce_base and pierce_factor come from, if they are the shop's own"),
    NUMBER("hopper", "hopper_kg", hopper, SG_DIM_MASS, ABOVE, 0, 100000, 0,
           "garnet that the full hopper holds"),
    NUMBER("low_line", "low_line_kg", low_line, SG_DIM_MASS, 0, 0, 100000, 0,
           "level below which cutting never takes the hopper"),
    NUMBER("hopper_level", "hopper_level_kg", hopper_level, SG_DIM_MASS, 0, 0, 100000, 0,
           "garnet in the hopper when the shift starts"),
    NUMBER("bag", "bag_kg", bag, SG_DIM_MASS, 0, 0, 5000, 0,
           "mass of a bag; 0: bulk, a refill fills to the brim"),
    WHOLE("bags_in_stock", "bags_in_stock", bags_in_stock, 0, 0, 1000000, 10000,
          "bags on hand when the shift starts"),
    HANDS_ON("refill", "refill_s", refill, 0, "time of a refill whatever the bags"),
    HANDS_ON("refill_per_bag", "refill_per_bag_s", refill_per_bag, 0, "time for each bag of a refill"),
    CHOICE("refill_stops_cutting", "refill_stops_cutting", refill_stops_cutting, 0, sg_words_yes_no,
           "a refill stops the machine; no is for an unpressurised hopper only"),
    WHOLE("reorder", "reorder", reorder, 0, 0, 1000000, 10000,
          "bags that should be left after the plan; fewer are to be ordered"),
    OTHER("hopper_read", "hopper_read", hopper_read, SG_FIELD_MOMENT, OPT, "when hopper_level was read"),
    NUMBER("sludge", "sludge_kg", sludge, SG_DIM_MASS, 0, 0, 1e6, 0,
           "garnet in the tank since its last clean-out, when the shift starts"),
    NUMBER("clean_out", "clean_out_kg", clean_out, SG_DIM_MASS, OPT | ABOVE, 0, 1e6, 0,
           "garnet in the tank at which it is to be cleaned out"),
    CHOICE("refill_at", "refill_at", refill_at, 0, words_refill_at,
           "a refill may fall between pieces, or sheets only"),
    CHOICE("refill_amount", "refill_amount", refill_amount, 0, words_refill_amount,
           "fill the hopper, or enough for the rest of the run"),
    CHOICE("refill_when", "refill_when", refill_when, 0, words_refill_when,
           "among equally few refills: as late as possible, or where the shift ends first"),
    HANDS_ON("load_fixed", "load_fixed_s", load_fixed, 0, "time to load a sheet whatever its mass"),
    NUMBER("load_mass", "load_mass_kg", load_mass, SG_DIM_MASS, ABOVE, 0, 100000, 0,
           "mass of sheet that takes one more minute to load"),
    HANDS_ON("head_change", "head_change_s", head_change, 0, "time to change the cutting head"),
    HANDS_ON("index_move", "index_move_s", index_move, 0,
             "time to move a long sheet along and find it again"),
    HANDS_ON("tube_change", "tube_change_s", tube_change, 0, "time to change the mixing tube"),
    HANDS_ON("orifice_change", "orifice_change_s", orifice_change, 0, "time to change the orifice"),
    HANDS_ON("tab_time", "tab_time_s", tab_time, 0, "time to break one tab after its sheet"),
    NUMBER("head_buffer", "head_buffer_kg", head_buffer, SG_DIM_MASS, 0, 0, 1000, 0,
           "small hopper at the head; a reserve, never planned on"),
    OTHER("head_fitted", "head_fitted_id", head_fitted, SG_FIELD_HEAD, 0,
          "head on the machine when the shift starts"),
    NUMBER("lead", "lead", lead, SG_DIM_NUMBER, 0, 0, 5, 0,
           "length of a lead-in per thickness that a drawing gets; 0: none, they are drawn"),
    TEXT("layers_out", "layers_out", layers_out, SG_TEXT_MAX,
         "layers of drawings that are no cuts, such as NOTES,DIM"),
    TEXT("jet_on", "jet_on", jet_on, 40, "word of a part program that turns the jet on, such as M3"),
    TEXT("jet_off", "jet_off", jet_off, 40, "word of a part program that turns the jet off"),
    CHOICE("pump", "pump", pump, 0, words_pump, "kind of the high-pressure pump"),
    NUMBER("pump_power", "pump_power_kw", pump_power, SG_DIM_POWER, ABOVE, 0, 2000, 0,
           "power at the pump's shaft"),
    NUMBER("pump_efficiency", "pump_efficiency", pump_efficiency, SG_DIM_RATIO, ABOVE, 0, 1, 0,
           "jet power over shaft power"),
    NUMBER("max_pressure", "max_pressure_mpa", max_pressure, SG_DIM_PRESSURE, ABOVE, 0, 1000, 0,
           "highest pressure of the pump"),
    NUMBER("max_flow", "max_flow_l_min", max_flow, SG_DIM_FLOW, ABOVE, 0, 200, 0, "highest flow of the pump"),
};
#undef KIND
#undef STRUCT

#define KIND SG_KIND_HEAD
#define STRUCT struct sg_head
static const struct sg_field head_fields[] = {
    CHOICE("kind", "kind", kind, 0, sg_words_head_kind, "water with garnet, or water only"),
    NUMBER("pressure", "pressure_mpa", pressure, SG_DIM_PRESSURE, ABOVE, 0, 1000, 650,
           "pressure at the orifice"),
    NUMBER("low_pressure", "low_pressure_mpa", low_pressure, SG_DIM_PRESSURE, ABOVE, 0, 1000, 0,
           "pressure of a low-pressure pierce"),
    NUMBER("orifice", "orifice_mm", orifice, SG_DIM_LENGTH, ABOVE, 0, 5, 1, "bore of the orifice"),
    NUMBER("tube", "tube_mm", tube, SG_DIM_LENGTH, OPT | ABOVE, 0, 20, 3, "bore of a new mixing tube"),
    NUMBER("garnet", "garnet_g_min", garnet, SG_DIM_GARNET_FEED, OPT | ABOVE, 0, 10000, 1500,
           "garnet feed as weighed"),
    TEXT("garnet_source", "garnet_source", garnet_source, SG_TEXT_MAX,
         "where garnet comes from, if it was fitted to what was weighed"),
    NUMBER("discharge", "discharge", discharge, SG_DIM_RATIO, ABOVE, 0, 1, 0,
           "discharge coefficient of the orifice, by a bucket test"),
    WHOLE("heads", "heads", heads, 0, 1, 16, 4, "heads of this kind that cut together"),
    NUMBER("abrasive_factor", "abrasive_factor", abrasive_factor, SG_DIM_NUMBER, ABOVE, 0, 10, 2,
           "abrasive against garnet, 1 is garnet"),
    NUMBER("tube_wear", "tube_wear_mm", tube_wear, SG_DIM_LENGTH, 0, 0, 10, 1,
           "growth of the tube's bore in 100 hours"),
    LIFE("tube_hours", "tube_hours_s", tube_hours, 0, "hours on the mixing tube at the shift's start"),
    LIFE("tube_life", "tube_life_s", tube_life, OPT | ABOVE,
         "hours after which the tube is changed; none: never"),
    LIFE("orifice_hours", "orifice_hours_s", orifice_hours, 0, "hours on the orifice at the shift's start"),
    LIFE("orifice_life", "orifice_life_s", orifice_life, OPT | ABOVE,
         "hours after which the orifice is changed; none: never"),
};
#undef KIND
#undef STRUCT

#define KIND SG_KIND_MATERIAL
#define STRUCT struct sg_material
static const struct sg_field material_fields[] = {
    TEXT("aliases", "aliases", aliases, SG_NOTE_MAX, "other names, semicolons between"),
    NUMBER("density", "density_kg_m3", density, SG_DIM_DENSITY, OPT | ABOVE, 0, 30000, 20000, "density"),
    NUMBER("machinability", "machinability", machinability, SG_DIM_NUMBER, OPT | ABOVE, 0, 100000, 5000,
           "machinability number with garnet; none: not cut with garnet here"),
    NUMBER("cut_energy", "cut_energy_j_mm2", cut_energy, SG_DIM_CUT_ENERGY, OPT | ABOVE, 0, 100000, 1000,
           "jet energy for an area of cut with water only; none: not cut with water here"),
    NUMBER("threshold", "threshold_mpa", threshold, SG_DIM_PRESSURE, OPT, 0, 1000, 0,
           "pressure below which water alone does not cut"),
    NUMBER("thickness_exponent", "thickness_exponent", thickness_exponent, SG_DIM_NUMBER, OPT, 0.9, 1.5, 0,
           "how fast the speed with garnet falls with thickness, by the shop's studies; none: the formula's"),
    NUMBER("reference_thickness", "reference_thickness_mm", reference_thickness, SG_DIM_LENGTH, OPT | ABOVE,
           0, 1000, 0, "height at which the speed is the formula's, of a thickness_exponent"),
    CHOICE("pierce", "pierce", pierce, 0, sg_words_pierce, "usual way to pierce it"),
    CHOICE("head", "head", head, 0, sg_words_head_kind, "head it is usually cut with"),
    CHOICE("water_possible", "water_possible", water_possible, 0, sg_words_yes_no, "water alone can cut it"),
    {.kind = KIND,
     .name = "hazards",
     .column = "hazards",
     .type = SG_FIELD_FLAGS,
     .offset = offsetof(STRUCT, hazards),
     .count = 1,
     .flags = OPT,
     .words = sg_words_hazard,
     .meaning = "what must be said when it is cut"},
    CHOICE("basis", "basis", basis, 0, words_basis, "how far machinability and cut energy may be trusted"),
    TEXT("source", "source", source, SG_NOTE_MAX, "where they come from"),
};
#undef KIND
#undef STRUCT

#define KIND SG_KIND_CHORE
#define STRUCT struct sg_chore
static const struct sg_field chore_fields[] = {
    CHOICE("when", "when_done", when, 0, words_chore_when,
           "before the first job, before each job, after each sheet, once a piece after its sheet, after the "
           "last job, when its interval is over"),
    HANDS_ON("time", "time_s", time, 0, "time that it takes, of a piece's for each piece"),
    CHOICE("counts", "counts", counts, 0, words_counts,
           "what the interval of a service counts: hours of the jet, hours of cutting with its rapids, days"),
    LIFE("every", "every_s", every, OPT | ABOVE, "hours between two services, where hours are counted"),
    WHOLE("every_days", "every_days", every_days, OPT, 1, 36500, 3650,
          "days between two services, where the calendar counts"),
    LIFE("hours", "hours_s", hours, 0, "hours since the last service at the shift's start"),
    OTHER("last", "last", last, SG_FIELD_DATE, OPT, "day of the last service, of calendar"),
};
#undef KIND
#undef STRUCT

#define PRICE(f, m, dim, text) NUMBER(f, f, m, dim, OPT, 0, MONEY, 0, text)
#define SHARE(f, m, hi, text)                                                                                \
    {                                                                                                        \
        .kind = KIND, .name = f, .column = f, .type = SG_FIELD_NUMBER, .dimension = SG_DIM_RATIO,            \
        .offset = offsetof(STRUCT, m), .count = 1, .flags = OPT, .max = hi, .odd_below = 0.01,               \
        .bare_us = "%", .bare_metric = "%", .meaning = text                                                  \
    }

#define KIND SG_KIND_RATES
#define STRUCT struct sg_rates
static const struct sg_field rates_fields[] = {
    TEXT("currency", "currency", currency, 8, "word or sign of the currency, as it is shown"),
    WHOLE("decimals", "decimals", decimals, 0, 0, SG_MONEY_DECIMALS_MAX, 0,
          "decimals of the currency; all amounts are whole in the last one"),
    PRICE("machine", machine, SG_DIM_PER_TIME, "hour of the machine, whoever stands by"),
    PRICE("labour", labour, SG_DIM_PER_TIME, "hour of hands-on work"),
    PRICE("power", power, SG_DIM_PER_ENERGY, "energy at the pump's shaft"),
    PRICE("water", water, SG_DIM_PER_VOLUME, "water, with its drain"),
    PRICE("garnet", garnet, SG_DIM_PER_MASS, "garnet, delivered"),
    PRICE("disposal", disposal, SG_DIM_PER_MASS, "disposal, for each mass of garnet used"),
    PRICE("tube", tube, SG_DIM_NUMBER, "a mixing tube; its life is the head's"),
    PRICE("orifice", orifice, SG_DIM_NUMBER, "an orifice; its life is the head's"),
    PRICE("setup", setup, SG_DIM_NUMBER, "set-up of a job: drawing, program, paper"),
    SHARE("mark_up", mark_up, 10, "share of the cost that is put on it; not beside a margin"),
    SHARE("margin", margin, 0.99, "share of the price that is left over; not beside a mark-up"),
    PRICE("minimum", minimum, SG_DIM_NUMBER, "least price of a job"),
    WHOLE("valid_days", "valid_days", valid_days, OPT, 1, 3650, 365, "days that a quote holds"),
    TEXT("terms", "terms", terms, SG_NOTE_MAX, "said under each quote"),
};
#undef KIND
#undef STRUCT

#define COUNT(f, m, lo, hi, text) WHOLE(f, f, m, OPT, lo, hi, 0, text)
#define WAS(f, c, m, dim, hi, text) NUMBER(f, c, m, dim, OPT, 0, hi, 0, text)
#define TOOK(f, m, text)                                                                                     \
    {                                                                                                        \
        .kind = KIND, .name = f, .column = f "_s", .type = SG_FIELD_NUMBER, .dimension = SG_DIM_DURATION,    \
        .offset = offsetof(STRUCT, m), .count = 1, .flags = OPT, .max = 1e8, .colon = SG_COLON_MIN_S,        \
        .meaning = text                                                                                      \
    }

#define KIND SG_KIND_CLOCK
#define STRUCT struct sg_clock
static const struct sg_field clock_fields[] = {
    OTHER("at", "at", at, SG_FIELD_MOMENT, 0, "when the clock started"),
    CHOICE("phase", "phase", phase, 0, words_phase, "what is clocked: a cut, a load, a first check"),
    TEXT("place", "place", place, SG_TEXT_MAX, "stock that it is for, as 2604/1"),
    COUNT("sheet", sheet, 1, 1000000, "first sheet of the stock in it"),
    WHOLE("sheets", "sheets", sheets, 0, 1, 1000000, 0, "loads in it"),
    COUNT("pieces", pieces, 0, 1000000000, "pieces planned on them"),
    TEXT("lies", "lies", lies, SG_LIES_MAX,
         "of which parts: a line each of pieces, billionths of the plan that one has, and part; *N before N "
         "loads"),
    CHOICE("cut_only", "cut_only", cut_only, 0, sg_words_yes_no,
           "it runs only while the jet cuts along, not through pierces and rapids"),
    TEXT("material", "material", material, SG_TEXT_MAX, "material then"),
    TEXT("head", "head", head, SG_TEXT_MAX, "head then"),
    CHOICE("head_kind", "head_kind", head_kind, 0, sg_words_head_kind, "kind of head"),
    WHOLE("heads", "heads", heads, 0, 1, 16, 0, "heads that cut together"),
    WAS("height", "height_mm", height, SG_DIM_LENGTH, 100000, "height of the stack"),
    WAS("edge", "edge", edge, SG_DIM_NUMBER, 5, "edge, 1 to 5"),
    WAS("pressure", "pressure_mpa", pressure, SG_DIM_PRESSURE, 1000, "pressure"),
    WAS("low_pressure", "low_pressure_mpa", low_pressure, SG_DIM_PRESSURE, 1000, "pressure of low pierces"),
    WAS("orifice", "orifice_mm", orifice, SG_DIM_LENGTH, 5, "bore of the orifice"),
    WAS("tube", "tube_mm", tube, SG_DIM_LENGTH, 30, "bore of the mixing tube then"),
    WAS("garnet", "garnet_g_min", garnet, SG_DIM_GARNET_FEED, 10000, "garnet feed of one head as set"),
    NUMBER("abrasive_factor", "abrasive_factor", abrasive_factor, SG_DIM_NUMBER, ABOVE, 0, 10, 0,
           "abrasive against garnet"),
    WAS("discharge", "discharge", discharge, SG_DIM_RATIO, 1, "discharge coefficient"),
    WAS("threshold", "threshold_mpa", threshold, SG_DIM_PRESSURE, 1000, "threshold of the material"),
    NUMBER("feed_override", "feed_override", feed_override, SG_DIM_RATIO, 0, 0.1, 4, 0,
           "part of the model's traverse"),
    WAS("top_feed", "top_feed_mm_min", top_feed, SG_DIM_FEED, 200000, "fastest feed of the machine"),
    CHOICE("feed_typed", "feed_typed", feed_typed, 0, sg_words_yes_no, "the feed was typed"),
    CHOICE("pierce", "pierce", pierce, OPT, sg_words_pierce, "way to pierce; none: seconds were typed"),
    WAS("cut_length", "cut_length_mm", cut_length, SG_DIM_LENGTH, 1e12, "cut of one head"),
    COUNT("pierces", pierces, 0, 1000000000, "pierces of one head"),
    TOOK("planned_cut", planned_cut, "planned: cut at the traverse"),
    TOOK("planned_corner", planned_corner, "planned: lost at corners"),
    TOOK("planned_acceleration", planned_acceleration, "planned: lost speeding up and braking"),
    TOOK("planned_pierce", planned_pierce, "planned: pierces"),
    TOOK("planned_rapid", planned_rapid, "planned: rapids and lifts"),
    TOOK("planned_hands", planned_hands, "planned: by hand"),
    WAS("planned_garnet", "planned_garnet_kg", planned_garnet, SG_DIM_MASS, 1e9, "planned: garnet"),
    OTHER("planned_end", "planned_end", planned_end, SG_FIELD_MOMENT, OPT, "when the shift was to end"),
    TEXT("note", "note", note, SG_NOTE_MAX, "anything worth knowing about it"),
};
#undef KIND
#undef STRUCT

#define KIND SG_KIND_RECORD
#define STRUCT struct sg_record
static const struct sg_field record_fields[] = {
    OTHER("at", "at", at, SG_FIELD_MOMENT, 0, "when it was"),
    CHOICE("what", "what", what, 0, sg_words_record, "what was noted"),
    TEXT("place", "place", place, SG_TEXT_MAX, "part, head or chore that it is about"),
    COUNT("count", count, 0, 1000000, "pieces, or bags"),
    WAS("mass", "mass_kg", mass, SG_DIM_MASS, 100000, "garnet filled, or read in the hopper"),
    WAS("feed", "feed_g_min", feed, SG_DIM_GARNET_FEED, 10000, "garnet caught and weighed, of one head"),
    TEXT("reason", "reason", reason, SG_TEXT_MAX, "why, as of a stop or of scrap"),
};
#undef KIND
#undef STRUCT

#define COUNT_OF(array) ((int)(sizeof(array) / sizeof *(array)))

static const struct {
    const char *word;
    size_t size;
    const struct sg_field *fields;
    int count;
} kinds[SG_KINDS] = {
    [SG_KIND_JOB] = {"job", sizeof(struct sg_job), job_fields, COUNT_OF(job_fields)},
    [SG_KIND_STOCK] = {"stock", sizeof(struct sg_stock), stock_fields, COUNT_OF(stock_fields)},
    [SG_KIND_PART] = {"part", sizeof(struct sg_part), part_fields, COUNT_OF(part_fields)},
    [SG_KIND_SHIFT] = {"shift", sizeof(struct sg_shift), shift_fields, COUNT_OF(shift_fields)},
    [SG_KIND_MACHINE] = {"machine", sizeof(struct sg_machine), machine_fields, COUNT_OF(machine_fields)},
    [SG_KIND_HEAD] = {"head", sizeof(struct sg_head), head_fields, COUNT_OF(head_fields)},
    [SG_KIND_MATERIAL] = {"material", sizeof(struct sg_material), material_fields, COUNT_OF(material_fields)},
    [SG_KIND_CHORE] = {"chore", sizeof(struct sg_chore), chore_fields, COUNT_OF(chore_fields)},
    [SG_KIND_RATES] = {"rates", sizeof(struct sg_rates), rates_fields, COUNT_OF(rates_fields)},
    [SG_KIND_CLOCK] = {"clock", sizeof(struct sg_clock), clock_fields, COUNT_OF(clock_fields)},
    [SG_KIND_RECORD] = {"record", sizeof(struct sg_record), record_fields, COUNT_OF(record_fields)},
};

const struct sg_field *sg_fields(enum sg_kind kind, int *count)
{
    *count = kinds[kind].count;
    return kinds[kind].fields;
}

const struct sg_field *sg_field_find(enum sg_kind kind, const char *name)
{
    for (int i = 0; i < kinds[kind].count; i++)
        if (strcmp(kinds[kind].fields[i].name, name) == 0)
            return &kinds[kind].fields[i];
    return NULL;
}

const char *sg_kind_word(enum sg_kind kind)
{
    return kinds[kind].word;
}

size_t sg_kind_size(enum sg_kind kind)
{
    return kinds[kind].size;
}

const char *sg_edge_word(double edge)
{
    int level = (int)(edge + 0.5);
    return sg_words_edge[(level < 1 ? 1 : level > SG_EDGES ? SG_EDGES : level) - 1];
}

const struct sg_unit *sg_field_unit(const struct sg_field *field, enum sg_unit_system system)
{
    const char *bare = system == SG_UNITS_US ? field->bare_us : field->bare_metric;
    switch (field->type) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_NUMBERS:
    case SG_FIELD_WHOLE:
    case SG_FIELD_EDGE:
        return bare ? sg_unit_find(bare, strlen(bare)) : sg_unit_of_shop(field->dimension, system);
    default:
        return NULL;
    }
}
