-- The shop file, version 1. A released step is never edited: what changes comes as the next step.
--
-- One column for each field of src/core/field.c, named field and canonical unit. Not known is NULL; an empty
-- list is ''. Choices are words, so that a file can be read without this program. The CHECKs repeat the ranges
-- of the field table; tests/store/test_schema.c holds both against each other.

CREATE TABLE setting (
    name TEXT PRIMARY KEY CHECK (length(name) BETWEEN 1 AND 200),
    value TEXT NOT NULL,
    CHECK (name <> 'units' OR value IN ('us', 'metric'))
) STRICT;

CREATE TABLE material (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE CHECK (length(name) BETWEEN 1 AND 200),
    aliases TEXT CHECK (length(aliases) <= 10000),
    density_kg_m3 REAL CHECK (density_kg_m3 > 0 AND density_kg_m3 <= 30000),
    machinability REAL CHECK (machinability > 0 AND machinability <= 100000),
    cut_energy_j_mm2 REAL CHECK (cut_energy_j_mm2 > 0 AND cut_energy_j_mm2 <= 100000),
    threshold_mpa REAL CHECK (threshold_mpa BETWEEN 0 AND 1000),
    pierce TEXT NOT NULL DEFAULT 'still' CHECK (pierce IN ('still', 'moving', 'low', 'drilled')),
    head TEXT NOT NULL DEFAULT 'abrasive' CHECK (head IN ('abrasive', 'water')),
    water_possible TEXT NOT NULL DEFAULT 'no' CHECK (water_possible IN ('no', 'yes')),
    hazards TEXT NOT NULL DEFAULT '' CHECK (hazards NOT GLOB '*[^a-z,]*'),
    basis TEXT NOT NULL DEFAULT 'estimate' CHECK (basis IN ('typed', 'shop', 'published', 'derived', 'recalled',
                                                            'practice', 'estimate')),
    source TEXT CHECK (length(source) <= 10000)
) STRICT;

CREATE TABLE head (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE CHECK (length(name) BETWEEN 1 AND 200),
    kind TEXT NOT NULL CHECK (kind IN ('abrasive', 'water')),
    pressure_mpa REAL NOT NULL CHECK (pressure_mpa > 0 AND pressure_mpa <= 1000),
    low_pressure_mpa REAL NOT NULL CHECK (low_pressure_mpa > 0 AND low_pressure_mpa <= 1000),
    orifice_mm REAL NOT NULL CHECK (orifice_mm > 0 AND orifice_mm <= 5),
    tube_mm REAL CHECK (tube_mm > 0 AND tube_mm <= 20),
    garnet_g_min REAL CHECK (garnet_g_min > 0 AND garnet_g_min <= 10000),
    discharge REAL NOT NULL CHECK (discharge > 0 AND discharge <= 1),
    heads INTEGER NOT NULL CHECK (heads BETWEEN 1 AND 16),
    abrasive_factor REAL NOT NULL CHECK (abrasive_factor > 0 AND abrasive_factor <= 10),
    tube_wear_mm REAL NOT NULL CHECK (tube_wear_mm BETWEEN 0 AND 10),
    tube_hours_s REAL NOT NULL CHECK (tube_hours_s BETWEEN 0 AND 3.6e8),
    tube_life_s REAL CHECK (tube_life_s > 0 AND tube_life_s <= 3.6e8),
    orifice_hours_s REAL NOT NULL CHECK (orifice_hours_s BETWEEN 0 AND 3.6e8),
    orifice_life_s REAL CHECK (orifice_life_s > 0 AND orifice_life_s <= 3.6e8)
) STRICT;

CREATE TABLE machine (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE CHECK (length(name) BETWEEN 1 AND 200),
    table_length_mm REAL NOT NULL CHECK (table_length_mm > 0 AND table_length_mm <= 100000),
    table_width_mm REAL NOT NULL CHECK (table_width_mm > 0 AND table_width_mm <= 100000),
    z_travel_mm REAL NOT NULL CHECK (z_travel_mm > 0 AND z_travel_mm <= 2000),
    slat_load_kg_m2 REAL NOT NULL CHECK (slat_load_kg_m2 > 0 AND slat_load_kg_m2 <= 100000),
    slat_pitch_mm REAL NOT NULL CHECK (slat_pitch_mm > 0 AND slat_pitch_mm <= 1000),
    top_feed_mm_min REAL NOT NULL CHECK (top_feed_mm_min > 0 AND top_feed_mm_min <= 200000),
    rapid_mm_min REAL NOT NULL CHECK (rapid_mm_min > 0 AND rapid_mm_min <= 200000),
    acceleration_mm_s2 REAL NOT NULL CHECK (acceleration_mm_s2 > 0 AND acceleration_mm_s2 <= 100000),
    z_lift_s REAL NOT NULL CHECK (z_lift_s BETWEEN 0 AND 86400),
    edge_error_1_mm REAL NOT NULL CHECK (edge_error_1_mm BETWEEN 0.001 AND 10),
    edge_error_2_mm REAL NOT NULL CHECK (edge_error_2_mm BETWEEN 0.001 AND 10),
    edge_error_3_mm REAL NOT NULL CHECK (edge_error_3_mm BETWEEN 0.001 AND 10),
    edge_error_4_mm REAL NOT NULL CHECK (edge_error_4_mm BETWEEN 0.001 AND 10),
    edge_error_5_mm REAL NOT NULL CHECK (edge_error_5_mm BETWEEN 0.001 AND 10),
    pierce_base_1_s REAL NOT NULL CHECK (pierce_base_1_s BETWEEN 0 AND 3600),
    pierce_base_2_s REAL NOT NULL CHECK (pierce_base_2_s BETWEEN 0 AND 3600),
    pierce_base_3_s REAL NOT NULL CHECK (pierce_base_3_s BETWEEN 0 AND 3600),
    pierce_base_4_s REAL NOT NULL CHECK (pierce_base_4_s BETWEEN 0 AND 3600),
    pierce_factor_1 REAL NOT NULL CHECK (pierce_factor_1 BETWEEN 0 AND 1000),
    pierce_factor_2 REAL NOT NULL CHECK (pierce_factor_2 BETWEEN 0 AND 1000),
    pierce_factor_3 REAL NOT NULL CHECK (pierce_factor_3 BETWEEN 0 AND 1000),
    pierce_factor_4 REAL NOT NULL CHECK (pierce_factor_4 BETWEEN 0 AND 1000),
    hopper_kg REAL NOT NULL CHECK (hopper_kg > 0 AND hopper_kg <= 100000),
    low_line_kg REAL NOT NULL CHECK (low_line_kg BETWEEN 0 AND 100000),
    hopper_level_kg REAL NOT NULL CHECK (hopper_level_kg BETWEEN 0 AND 100000),
    bag_kg REAL NOT NULL CHECK (bag_kg BETWEEN 0 AND 5000),
    bags_in_stock INTEGER NOT NULL CHECK (bags_in_stock BETWEEN 0 AND 1000000),
    reorder INTEGER NOT NULL CHECK (reorder BETWEEN 0 AND 1000000),
    hopper_read TEXT CHECK (hopper_read GLOB '[1-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9] [0-2][0-9]:[0-5][0-9]:[0-5][0-9]'),
    sludge_kg REAL NOT NULL CHECK (sludge_kg BETWEEN 0 AND 1e6),
    clean_out_kg REAL CHECK (clean_out_kg > 0 AND clean_out_kg <= 1e6),
    refill_s REAL NOT NULL CHECK (refill_s BETWEEN 0 AND 86400),
    refill_per_bag_s REAL NOT NULL CHECK (refill_per_bag_s BETWEEN 0 AND 86400),
    refill_stops_cutting TEXT NOT NULL CHECK (refill_stops_cutting IN ('no', 'yes')),
    refill_at TEXT NOT NULL CHECK (refill_at IN ('pieces', 'sheets')),
    refill_amount TEXT NOT NULL CHECK (refill_amount IN ('full', 'enough')),
    refill_when TEXT NOT NULL CHECK (refill_when IN ('latest', 'least_wait')),
    load_fixed_s REAL NOT NULL CHECK (load_fixed_s BETWEEN 0 AND 86400),
    load_mass_kg REAL NOT NULL CHECK (load_mass_kg > 0 AND load_mass_kg <= 100000),
    head_change_s REAL NOT NULL CHECK (head_change_s BETWEEN 0 AND 86400),
    index_move_s REAL NOT NULL CHECK (index_move_s BETWEEN 0 AND 86400),
    tube_change_s REAL NOT NULL CHECK (tube_change_s BETWEEN 0 AND 86400),
    orifice_change_s REAL NOT NULL CHECK (orifice_change_s BETWEEN 0 AND 86400),
    head_buffer_kg REAL NOT NULL CHECK (head_buffer_kg BETWEEN 0 AND 1000),
    head_fitted_id INTEGER NOT NULL REFERENCES head (id),
    pump TEXT NOT NULL CHECK (pump IN ('direct', 'intensifier')),
    pump_power_kw REAL NOT NULL CHECK (pump_power_kw > 0 AND pump_power_kw <= 2000),
    pump_efficiency REAL NOT NULL CHECK (pump_efficiency > 0 AND pump_efficiency <= 1),
    max_pressure_mpa REAL NOT NULL CHECK (max_pressure_mpa > 0 AND max_pressure_mpa <= 1000),
    max_flow_l_min REAL NOT NULL CHECK (max_flow_l_min > 0 AND max_flow_l_min <= 200)
) STRICT;

CREATE TABLE shift (
    id INTEGER PRIMARY KEY,
    key TEXT NOT NULL UNIQUE CHECK (length(key) BETWEEN 1 AND 200),
    position INTEGER NOT NULL CHECK (position BETWEEN 1 AND 1000000),
    date TEXT NOT NULL CHECK (date GLOB '[1-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'),
    start TEXT NOT NULL DEFAULT '06:00' CHECK (start GLOB '[0-2][0-9]:[0-5][0-9]*'),
    "end" TEXT NOT NULL DEFAULT '14:00' CHECK ("end" GLOB '[0-2][0-9]:[0-5][0-9]*'),
    breaks TEXT NOT NULL DEFAULT '' CHECK (breaks NOT GLOB '*[^0-9:,-]*'),
    run_in_breaks TEXT NOT NULL DEFAULT 'yes' CHECK (run_in_breaks IN ('no', 'yes')),
    fill_before_breaks TEXT NOT NULL DEFAULT 'no' CHECK (fill_before_breaks IN ('no', 'yes')),
    sheet_on TEXT CHECK (length(sheet_on) <= 80),
    closed TEXT NOT NULL DEFAULT 'no' CHECK (closed IN ('no', 'yes')),
    closed_days TEXT NOT NULL DEFAULT '' CHECK (closed_days NOT GLOB '*[^0-9,-]*')
) STRICT;

CREATE TABLE chore (
    id INTEGER PRIMARY KEY,
    position INTEGER NOT NULL CHECK (position > 0),
    name TEXT NOT NULL UNIQUE CHECK (length(name) BETWEEN 1 AND 200),
    when_done TEXT NOT NULL DEFAULT 'shift_start' CHECK (when_done IN ('shift_start', 'job', 'sheet', 'piece', 'shift_end')),
    time_s REAL NOT NULL DEFAULT 300 CHECK (time_s BETWEEN 0 AND 86400)
) STRICT;

-- A job's key has no slash: 2604/1/A is job, stock and part.
CREATE TABLE job (
    id INTEGER PRIMARY KEY,
    key TEXT NOT NULL UNIQUE CHECK (length(key) BETWEEN 1 AND 200 AND instr(key, '/') = 0),
    shift_id INTEGER NOT NULL REFERENCES shift (id),
    position INTEGER NOT NULL CHECK (position BETWEEN 1 AND 1000000),
    name TEXT CHECK (length(name) <= 200),
    customer TEXT CHECK (length(customer) <= 200),
    due TEXT CHECK (due GLOB '[1-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9] [0-2][0-9]:[0-5][0-9]:[0-5][0-9]'),
    note TEXT CHECK (length(note) <= 10000)
) STRICT;
CREATE INDEX job_by_shift ON job (shift_id, position);

CREATE TABLE stock (
    id INTEGER PRIMARY KEY,
    job_id INTEGER NOT NULL REFERENCES job (id) ON DELETE CASCADE,
    number INTEGER NOT NULL CHECK (number BETWEEN 1 AND 1000000),
    material_id INTEGER REFERENCES material (id),
    thickness_mm REAL CHECK (thickness_mm > 0 AND thickness_mm <= 1000),
    stack INTEGER NOT NULL DEFAULT 1 CHECK (stack BETWEEN 1 AND 100),
    sheet_length_mm REAL CHECK (sheet_length_mm > 0 AND sheet_length_mm <= 100000),
    sheet_width_mm REAL CHECK (sheet_width_mm > 0 AND sheet_width_mm <= 100000),
    sheets INTEGER CHECK (sheets BETWEEN 0 AND 1000000),
    head_id INTEGER REFERENCES head (id),
    edge REAL NOT NULL DEFAULT 3 CHECK (edge BETWEEN 1 AND 5),
    pierce TEXT CHECK (pierce IN ('still', 'moving', 'low', 'drilled')),
    load_s REAL CHECK (load_s BETWEEN 0 AND 86400),
    first_check_s REAL NOT NULL DEFAULT 180 CHECK (first_check_s BETWEEN 0 AND 86400),
    gap_mm REAL NOT NULL DEFAULT 6.35 CHECK (gap_mm BETWEEN 0 AND 1000),
    margin_mm REAL NOT NULL DEFAULT 6.35 CHECK (margin_mm BETWEEN 0 AND 1000),
    feed_override REAL NOT NULL DEFAULT 1 CHECK (feed_override BETWEEN 0.1 AND 4),
    feed_mm_min REAL CHECK (feed_mm_min > 0 AND feed_mm_min <= 100000),
    pierce_seconds_s REAL CHECK (pierce_seconds_s BETWEEN 0 AND 86400),
    turn TEXT NOT NULL DEFAULT 'yes' CHECK (turn IN ('no', 'yes')),
    fill TEXT NOT NULL DEFAULT 'no' CHECK (fill IN ('no', 'yes')),
    owner TEXT NOT NULL DEFAULT 'shop' CHECK (owner IN ('shop', 'customer')),
    lot TEXT CHECK (length(lot) <= 200),
    UNIQUE (job_id, number)
) STRICT;
CREATE INDEX stock_by_material ON stock (material_id);
CREATE INDEX stock_by_head ON stock (head_id);

-- The place of a part among those of its stock is position; it may have gaps, the order is what counts.
CREATE TABLE part (
    id INTEGER PRIMARY KEY,
    stock_id INTEGER NOT NULL REFERENCES stock (id) ON DELETE CASCADE,
    position INTEGER NOT NULL CHECK (position > 0),
    key TEXT NOT NULL CHECK (length(key) BETWEEN 1 AND 200),
    name TEXT CHECK (length(name) <= 200),
    quantity INTEGER NOT NULL DEFAULT 1 CHECK (quantity BETWEEN 0 AND 1000000),
    cut_length_mm REAL CHECK (cut_length_mm BETWEEN 0 AND 1e7),
    pierces INTEGER NOT NULL DEFAULT 1 CHECK (pierces BETWEEN 0 AND 100000),
    length_mm REAL CHECK (length_mm > 0 AND length_mm <= 100000),
    width_mm REAL CHECK (width_mm > 0 AND width_mm <= 100000),
    area_mm2 REAL CHECK (area_mm2 > 0 AND area_mm2 <= 1e10),
    rapid_length_mm REAL CHECK (rapid_length_mm BETWEEN 0 AND 1e7),
    edge REAL CHECK (edge BETWEEN 1 AND 5),
    feed_mm_min REAL CHECK (feed_mm_min > 0 AND feed_mm_min <= 100000),
    pierce_seconds_s REAL CHECK (pierce_seconds_s BETWEEN 0 AND 86400),
    note TEXT CHECK (length(note) <= 10000),
    scrap INTEGER NOT NULL DEFAULT 0 CHECK (scrap BETWEEN 0 AND 1000000),
    edge_least REAL CHECK (edge_least BETWEEN 1 AND 5),
    UNIQUE (stock_id, key)
) STRICT;
CREATE INDEX part_by_place ON part (stock_id, position);
