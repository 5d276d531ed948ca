-- An invented day in an invented shop, on top of what a new file holds: nobody's parts, customers or machine.
-- 1 in is 25.4 mm, 1 lb is 0.45359237 kg. The shift has two breaks: the machine runs alone through the first, and in
-- the second a sheet waits for its loading. The hopper starts at 230 lb, so it must be filled once. The last job needs
-- the water head and ends after closing.

UPDATE setting SET value = 'us' WHERE name = 'units';

UPDATE machine SET hopper_level_kg = 104.3262451;

UPDATE shift SET date = '2026-12-01', "end" = '14:30', breaks = '09:30-09:45,12:00-12:30' WHERE key = 'A';

-- Rates of no currency and no shop, per hour, kWh, m3, kg and piece; garnet 0.32 and its disposal 0.05 a pound, water
-- 0.01 a gallon.
UPDATE rates SET machine = 95, labour = 42, power = 0.15, water = 2.6417205235814842, garnet = 0.70547923899160817,
 disposal = 0.11023113109243878, tube = 120, orifice = 45, setup = 25, mark_up = 0.25, minimum = 150, valid_days = 30,
 terms = 'Sheets that are left over stay with us unless you ask for them.' WHERE name = 'shop';

INSERT INTO job (id, key, shift_id, position, name, customer, due, note) VALUES
(1, '2601', (SELECT id FROM shift WHERE key = 'A'), 1, 'conveyor brackets', 'customer 12', '2026-12-01 10:00:00', NULL),
(2, '2602', (SELECT id FROM shift WHERE key = 'A'), 2, 'pump flanges', 'customer 31', '2026-12-01 12:00:00',
 'first flange to the customer''s inspector'),
(3, '2603', (SELECT id FROM shift WHERE key = 'A'), 3, 'base plates', 'house stock', '2026-12-01 14:00:00', NULL),
(4, '2604', (SELECT id FROM shift WHERE key = 'A'), 4, 'sight glasses and covers', 'customer 12', '2026-12-02 23:59:59',
 'annealed glass only: tempered breaks'),
(5, '2605', (SELECT id FROM shift WHERE key = 'A'), 5, 'case inserts and gaskets', 'customer 7', '2026-12-01 14:30:00',
 'collected at closing');

INSERT INTO stock (id, job_id, number, material_id, thickness_mm, sheet_length_mm, sheet_width_mm, sheets, edge, sheet_price)
VALUES
-- 1/2 in, 36 x 36 in
(1, 1, 1, (SELECT id FROM material WHERE name = 'aluminium 6061'), 12.7, 914.4, 914.4, 3, 3, 140),
-- 1/4 in, 48 x 48 in
(2, 2, 1, (SELECT id FROM material WHERE name = 'stainless 304'), 6.35, 1219.2, 1219.2, 2, 4, 210),
-- 1/2 in, 48 x 24 in
(3, 3, 1, (SELECT id FROM material WHERE name = 'steel, mild'), 12.7, 1219.2, 609.6, 2, 2, 85),
-- 3/8 in, 48 x 40 in
(4, 4, 1, (SELECT id FROM material WHERE name = 'glass, float'), 9.525, 1219.2, 1016, 4, 3, 60),
-- 2 in, 72 x 48 in; 1/4 in, 48 x 36 in
(5, 5, 1, (SELECT id FROM material WHERE name = 'foam, polyethylene'), 50.8, 1828.8, 1219.2, 3, 3, 75),
(6, 5, 2, (SELECT id FROM material WHERE name = 'rubber, neoprene'), 6.35, 1219.2, 914.4, 2, 3, 48);

INSERT INTO part (stock_id, position, key, name, quantity, cut_length_mm, pierces, length_mm, width_mm, edge, note) VALUES
-- boxes 8 x 6 and 4 x 3 in
(1, 1, 'A', 'bracket, long', 20, 965.2, 5, 203.2, 152.4, NULL, NULL),
(1, 2, 'B', 'bracket, short', 36, 406.4, 3, 101.6, 76.2, NULL, NULL),
-- 10 x 10 in
(2, 1, 'A', 'flange, 8 holes', 12, 1168.4, 9, 254, 254, NULL, NULL),
-- 8 x 8, 6 x 4 in
(3, 1, 'A', 'base plate, 4 holes', 12, 1066.8, 5, 203.2, 203.2, NULL, NULL),
(3, 2, 'B', 'shim plate', 6, 609.6, 3, 152.4, 101.6, 3, NULL),
-- 24 x 18, 6 x 5 in
(4, 1, 'A', 'cover, two ports', 8, 2438.4, 3, 609.6, 457.2, NULL, NULL),
(4, 2, 'B', 'sight glass', 12, 660.4, 2, 152.4, 127, NULL, 'round corners'),
-- 16 x 12, 7 x 7 in
(5, 1, 'A', 'insert, tool case', 12, 2286, 6, 406.4, 304.8, NULL, NULL),
(6, 1, 'A', 'gasket, 4 holes', 40, 863.6, 5, 177.8, 177.8, NULL, NULL);
