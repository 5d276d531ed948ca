-- What the office asks and what the floor notes: rates, clocks with the plan as it stood when they started, records of
-- what happened, services that fall due by an interval.

ALTER TABLE stock ADD COLUMN sheet_price REAL CHECK (sheet_price BETWEEN 0 AND 1e9);
ALTER TABLE material ADD COLUMN thickness_exponent REAL CHECK (thickness_exponent BETWEEN 0.9 AND 1.5);
ALTER TABLE material ADD COLUMN reference_thickness_mm REAL
    CHECK (reference_thickness_mm > 0 AND reference_thickness_mm <= 1000);

-- Numbers that were fitted to what the shop clocked or weighed say so.
ALTER TABLE machine ADD COLUMN pierce_source TEXT CHECK (length(pierce_source) <= 200);
ALTER TABLE head ADD COLUMN garnet_source TEXT CHECK (length(garnet_source) <= 200);

-- A chore may now come when it is due: the table is made anew, because a CHECK cannot be changed.
CREATE TABLE chore_anew (
    id INTEGER PRIMARY KEY,
    position INTEGER NOT NULL CHECK (position > 0),
    name TEXT NOT NULL UNIQUE CHECK (length(name) BETWEEN 1 AND 200),
    when_done TEXT NOT NULL DEFAULT 'shift_start' CHECK (when_done IN ('shift_start', 'job', 'sheet', 'piece', 'shift_end',
                                                                       'due')),
    time_s REAL NOT NULL DEFAULT 300 CHECK (time_s BETWEEN 0 AND 86400),
    counts TEXT NOT NULL DEFAULT 'pump' CHECK (counts IN ('pump', 'table', 'calendar')),
    every_s REAL CHECK (every_s > 0 AND every_s <= 3.6e8),
    every_days INTEGER CHECK (every_days BETWEEN 1 AND 36500),
    hours_s REAL NOT NULL DEFAULT 0 CHECK (hours_s BETWEEN 0 AND 3.6e8),
    last TEXT CHECK (last GLOB '[1-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]')
) STRICT;
INSERT INTO chore_anew (id, position, name, when_done, time_s) SELECT id, position, name, when_done, time_s FROM chore;
DROP TABLE chore;
ALTER TABLE chore_anew RENAME TO chore;

CREATE TABLE rates (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE CHECK (length(name) BETWEEN 1 AND 200),
    currency TEXT CHECK (length(currency) <= 8),
    decimals INTEGER NOT NULL DEFAULT 2 CHECK (decimals BETWEEN 0 AND 4),
    machine REAL CHECK (machine BETWEEN 0 AND 1e9),
    labour REAL CHECK (labour BETWEEN 0 AND 1e9),
    power REAL CHECK (power BETWEEN 0 AND 1e9),
    water REAL CHECK (water BETWEEN 0 AND 1e9),
    garnet REAL CHECK (garnet BETWEEN 0 AND 1e9),
    disposal REAL CHECK (disposal BETWEEN 0 AND 1e9),
    tube REAL CHECK (tube BETWEEN 0 AND 1e9),
    orifice REAL CHECK (orifice BETWEEN 0 AND 1e9),
    setup REAL CHECK (setup BETWEEN 0 AND 1e9),
    mark_up REAL CHECK (mark_up BETWEEN 0 AND 10),
    margin REAL CHECK (margin BETWEEN 0 AND 0.99),
    minimum REAL CHECK (minimum BETWEEN 0 AND 1e9),
    valid_days INTEGER CHECK (valid_days BETWEEN 1 AND 3650),
    terms TEXT CHECK (length(terms) <= 10000)
) STRICT;
INSERT INTO rates (id, name) VALUES (1, 'shop');

-- Places and names are texts, so that what was noted outlives the rows that it was about.
CREATE TABLE clock (
    id INTEGER PRIMARY KEY,
    key TEXT NOT NULL UNIQUE CHECK (length(key) BETWEEN 1 AND 200),
    at TEXT NOT NULL CHECK (at GLOB '[1-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9] [0-2][0-9]:[0-5][0-9]:[0-5][0-9]'),
    phase TEXT NOT NULL DEFAULT 'cut' CHECK (phase IN ('cut', 'load', 'check')),
    place TEXT CHECK (length(place) <= 200),
    sheet INTEGER CHECK (sheet BETWEEN 1 AND 1000000),
    sheets INTEGER NOT NULL DEFAULT 1 CHECK (sheets BETWEEN 1 AND 1000000),
    pieces INTEGER CHECK (pieces BETWEEN 0 AND 1000000000),
    cut_only TEXT NOT NULL DEFAULT 'no' CHECK (cut_only IN ('no', 'yes')),
    material TEXT CHECK (length(material) <= 200),
    head TEXT CHECK (length(head) <= 200),
    head_kind TEXT NOT NULL DEFAULT 'abrasive' CHECK (head_kind IN ('abrasive', 'water')),
    heads INTEGER NOT NULL DEFAULT 1 CHECK (heads BETWEEN 1 AND 16),
    height_mm REAL CHECK (height_mm BETWEEN 0 AND 100000),
    edge REAL CHECK (edge BETWEEN 0 AND 5),
    pressure_mpa REAL CHECK (pressure_mpa BETWEEN 0 AND 1000),
    low_pressure_mpa REAL CHECK (low_pressure_mpa BETWEEN 0 AND 1000),
    orifice_mm REAL CHECK (orifice_mm BETWEEN 0 AND 5),
    tube_mm REAL CHECK (tube_mm BETWEEN 0 AND 30),
    garnet_g_min REAL CHECK (garnet_g_min BETWEEN 0 AND 10000),
    abrasive_factor REAL NOT NULL DEFAULT 1 CHECK (abrasive_factor > 0 AND abrasive_factor <= 10),
    discharge REAL CHECK (discharge BETWEEN 0 AND 1),
    threshold_mpa REAL CHECK (threshold_mpa BETWEEN 0 AND 1000),
    feed_override REAL NOT NULL DEFAULT 1 CHECK (feed_override BETWEEN 0.1 AND 4),
    top_feed_mm_min REAL CHECK (top_feed_mm_min BETWEEN 0 AND 200000),
    feed_typed TEXT NOT NULL DEFAULT 'no' CHECK (feed_typed IN ('no', 'yes')),
    pierce TEXT CHECK (pierce IN ('still', 'moving', 'low', 'drilled')),
    cut_length_mm REAL CHECK (cut_length_mm BETWEEN 0 AND 1e12),
    pierces INTEGER CHECK (pierces BETWEEN 0 AND 1000000000),
    planned_cut_s REAL CHECK (planned_cut_s BETWEEN 0 AND 1e8),
    planned_corner_s REAL CHECK (planned_corner_s BETWEEN 0 AND 1e8),
    planned_acceleration_s REAL CHECK (planned_acceleration_s BETWEEN 0 AND 1e8),
    planned_pierce_s REAL CHECK (planned_pierce_s BETWEEN 0 AND 1e8),
    planned_rapid_s REAL CHECK (planned_rapid_s BETWEEN 0 AND 1e8),
    planned_hands_s REAL CHECK (planned_hands_s BETWEEN 0 AND 1e8),
    planned_garnet_kg REAL CHECK (planned_garnet_kg BETWEEN 0 AND 1e9),
    planned_end TEXT CHECK (planned_end GLOB '[1-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9] [0-2][0-9]:[0-5][0-9]:[0-5][0-9]'),
    note TEXT CHECK (length(note) <= 10000)
) STRICT;
CREATE INDEX clock_by_time ON clock (at);

CREATE TABLE record (
    id INTEGER PRIMARY KEY,
    key TEXT NOT NULL UNIQUE CHECK (length(key) BETWEEN 1 AND 200),
    at TEXT NOT NULL CHECK (at GLOB '[1-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9] [0-2][0-9]:[0-5][0-9]:[0-5][0-9]'),
    what TEXT NOT NULL CHECK (what IN ('stop', 'pause', 'resume', 'done', 'scrap', 'fill', 'level', 'weigh', 'tube',
                                       'orifice', 'service', 'note', 'close', 'moved', 'not_done', 'not_scrap')),
    place TEXT CHECK (length(place) <= 200),
    count INTEGER CHECK (count BETWEEN 0 AND 1000000),
    mass_kg REAL CHECK (mass_kg BETWEEN 0 AND 100000),
    feed_g_min REAL CHECK (feed_g_min BETWEEN 0 AND 10000),
    reason TEXT CHECK (length(reason) <= 200)
) STRICT;
CREATE INDEX record_by_time ON record (at);
