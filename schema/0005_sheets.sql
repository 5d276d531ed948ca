-- What layouts ask of stocks and parts: smaller sheets on hand, places kept free, outlines that lie into each other,
-- sides that are cut once, a longer search, tabs.

ALTER TABLE stock ADD COLUMN interlock TEXT NOT NULL DEFAULT 'yes' CHECK (interlock IN ('no', 'yes'));
ALTER TABLE stock ADD COLUMN common_line TEXT NOT NULL DEFAULT 'no' CHECK (common_line IN ('no', 'yes'));
ALTER TABLE stock ADD COLUMN search INTEGER NOT NULL DEFAULT 0 CHECK (search BETWEEN 0 AND 100000);
ALTER TABLE stock ADD COLUMN remnants TEXT CHECK (length(remnants) <= 1200);
ALTER TABLE stock ADD COLUMN clamps TEXT CHECK (length(clamps) <= 1200);

ALTER TABLE part ADD COLUMN tabs INTEGER NOT NULL DEFAULT 0 CHECK (tabs BETWEEN 0 AND 1000);

ALTER TABLE machine ADD COLUMN tab_time_s REAL NOT NULL DEFAULT 10 CHECK (tab_time_s BETWEEN 0 AND 86400);
