/* The invented middle-sized machine that a new shop starts with. Its figures are examples, from no maker's
 * plate; US figures are converted by exact factors here, so that a field shows the round number again. */
#include "sandglass/shop.h"

#include "definitions.h"

/* Just the bits that the typed text gives: the product in long double, rounded once. */
#define IN(value) ((double)(value##L * INCH_MM))
#define LB(value) ((double)(value##L * POUND_KG))
#define KSI(value) ((double)(value##L * (1000 * PSI_MPA)))
#define MINUTES(value) ((value)*60.0)
#define UNKNOWN ((double)NAN)
#define HOURS(value) ((value)*3600.0)

const struct sg_machine sg_fresh_machine = {
    .name = "main",
    .table_length = IN(120.0),
    .table_width = IN(60.0),
    .z_travel = IN(8.0),
    .slat_load = (double)(350 * (1e6L * POUND_KG / (FOOT_MM * FOOT_MM))), /* 350 lb/ft2 */
    .slat_pitch = IN(4.0),
    .top_feed = IN(400.0),
    .rapid = IN(400.0),
    .acceleration = IN(20.0),
    .z_lift = 2,
    .lead = 0.5,
    .layers_out = "",
    .jet_on = "",
    .jet_off = "",
    .edge_error = {0.50, 0.25, 0.15, 0.10, 0.05},
    .pierce_base = {1.5, 1.5, 4.5, 0.5},
    .pierce_factor = {3.0, 1.5, 2.0, 0.0},
    .pierce_source = "",
    .hopper = LB(600.0),
    .low_line = LB(60.0),
    .hopper_level = LB(600.0),
    .bag = LB(55.0),
    .bags_in_stock = 20,
    .hopper_read = SG_NO_MOMENT,
    .clean_out = UNKNOWN,
    .refill = MINUTES(3),
    .refill_per_bag = 30,
    .refill_stops_cutting = 1,
    .refill_at = SG_AT_PIECES,
    .refill_amount = SG_AMOUNT_FULL,
    .refill_when = SG_WHEN_LATEST,
    .load_fixed = MINUTES(5),
    .load_mass = LB(100.0),
    .head_change = MINUTES(15),
    .index_move = MINUTES(10),
    .tube_change = MINUTES(10),
    .orifice_change = MINUTES(10),
    .tab_time = 10,
    .head_buffer = 0,
    .head_fitted = 0,
    .pump = SG_PUMP_DIRECT,
    .pump_power = (double)(50 * HORSEPOWER_KW), /* 50 hp */
    .pump_efficiency = 0.90,
    .max_pressure = KSI(58.0),
    .max_flow = (double)GALLON_L, /* 1 gpm */
};

const struct sg_head sg_fresh_heads[2] = {
    {
        .name = "abrasive",
        .kind = SG_HEAD_ABRASIVE,
        .pressure = KSI(55.0),
        .low_pressure = KSI(15.0),
        .orifice = IN(0.013),
        .tube = IN(0.040),
        .garnet = (double)(0.7L * (1000 * POUND_KG)), /* 0.7 lb/min */
        .garnet_source = "",
        .discharge = 0.70,
        .heads = 1,
        .abrasive_factor = 1,
        .tube_wear = 0,
        .tube_hours = 0,
        .tube_life = HOURS(80),
        .orifice_hours = 0,
        .orifice_life = HOURS(60),
    },
    {
        .name = "water",
        .kind = SG_HEAD_WATER,
        .pressure = KSI(55.0),
        .low_pressure = KSI(15.0),
        .orifice = IN(0.006),
        .tube = UNKNOWN,
        .garnet = UNKNOWN,
        .garnet_source = "",
        .discharge = 0.70,
        .heads = 1,
        .abrasive_factor = 1,
        .tube_wear = 0,
        .tube_hours = 0,
        .tube_life = UNKNOWN,
        .orifice_hours = 0,
        .orifice_life = HOURS(60),
    },
};

const struct sg_shift sg_fresh_shift = {
    .id = "A",
    .date = SG_NO_DATE,
    .start = 6 * 3600,
    .end = 14 * 3600,
    .run_in_breaks = 1,
    .sheet_on = "",
};

const struct sg_job sg_fresh_job = {
    .id = "",
    .name = "",
    .customer = "",
    .note = "",
    .due = SG_NO_MOMENT,
    .due_epoch = UNKNOWN,
};

const struct sg_stock sg_fresh_stock = {
    .material = SG_UNKNOWN,
    .thickness = UNKNOWN,
    .stack = 1,
    .sheet_length = UNKNOWN,
    .sheet_width = UNKNOWN,
    .sheets = SG_UNKNOWN,
    .head = SG_UNKNOWN,
    .edge = 3,
    .pierce = SG_UNKNOWN,
    .load = UNKNOWN,
    .first_check = MINUTES(3),
    .gap = IN(0.25),
    .margin = IN(0.25),
    .feed_override = 1,
    .feed = UNKNOWN,
    .pierce_seconds = UNKNOWN,
    .turn = 1,
    .interlock = 1,
    .lot = "",
    .sheet_price = UNKNOWN,
};

const struct sg_part sg_fresh_part = {
    .id = "",
    .name = "",
    .note = "",
    .quantity = 1,
    .pierces = 1,
    .cut_length = UNKNOWN,
    .length = UNKNOWN,
    .width = UNKNOWN,
    .area = UNKNOWN,
    .rapid_length = UNKNOWN,
    .edge = UNKNOWN,
    .feed = UNKNOWN,
    .pierce_seconds = UNKNOWN,
    .edge_least = UNKNOWN,
    .outline = SG_UNKNOWN,
};

const struct sg_material sg_fresh_material = {
    .name = "",
    .aliases = "",
    .density = UNKNOWN,
    .machinability = UNKNOWN,
    .cut_energy = UNKNOWN,
    .threshold = UNKNOWN,
    .thickness_exponent = UNKNOWN,
    .reference_thickness = UNKNOWN,
    .pierce = SG_PIERCE_STILL,
    .head = SG_HEAD_ABRASIVE,
    .basis = SG_BASIS_ESTIMATE,
    .source = "",
};

const struct sg_chore sg_fresh_chore = {
    .name = "",
    .when = SG_CHORE_SHIFT_START,
    .time = 300,
    .counts = SG_COUNTS_PUMP,
    .every = UNKNOWN,
    .every_days = SG_UNKNOWN,
    .last = SG_NO_DATE,
};

/* Rates are the shop's own: none is known before somebody types it. */
const struct sg_rates sg_fresh_rates = {
    .name = "shop",
    .machine = UNKNOWN,
    .labour = UNKNOWN,
    .power = UNKNOWN,
    .water = UNKNOWN,
    .garnet = UNKNOWN,
    .disposal = UNKNOWN,
    .tube = UNKNOWN,
    .orifice = UNKNOWN,
    .setup = UNKNOWN,
    .mark_up = UNKNOWN,
    .margin = UNKNOWN,
    .minimum = UNKNOWN,
    .currency = "",
    .decimals = 2,
    .valid_days = SG_UNKNOWN,
    .terms = "",
};

const struct sg_clock sg_fresh_clock = {
    .id = "",
    .place = "",
    .sheet = SG_UNKNOWN,
    .sheets = 1,
    .pieces = SG_UNKNOWN,
    .lies = "",
    .material = "",
    .head = "",
    .heads = 1,
    .height = UNKNOWN,
    .edge = UNKNOWN,
    .pressure = UNKNOWN,
    .low_pressure = UNKNOWN,
    .orifice = UNKNOWN,
    .tube = UNKNOWN,
    .garnet = UNKNOWN,
    .abrasive_factor = 1,
    .discharge = UNKNOWN,
    .threshold = UNKNOWN,
    .feed_override = 1,
    .top_feed = UNKNOWN,
    .pierce = SG_UNKNOWN,
    .cut_length = UNKNOWN,
    .pierces = SG_UNKNOWN,
    .planned_cut = UNKNOWN,
    .planned_corner = UNKNOWN,
    .planned_acceleration = UNKNOWN,
    .planned_pierce = UNKNOWN,
    .planned_rapid = UNKNOWN,
    .planned_hands = UNKNOWN,
    .planned_garnet = UNKNOWN,
    .planned_end = SG_NO_MOMENT,
    .note = "",
};

const struct sg_record sg_fresh_record = {
    .id = "",
    .place = "",
    .count = SG_UNKNOWN,
    .mass = UNKNOWN,
    .feed = UNKNOWN,
    .reason = "",
};
