-- Outlines of drawings and part programs, measured once and kept, so that the file they came from need not stay.
-- A row is never changed or removed and is no part of the history: what a part is measured from stands in the part.

CREATE TABLE drawn (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE CHECK (length(name) BETWEEN 1 AND 200), -- of the file, "plate.dxf"
    program TEXT NOT NULL CHECK (program IN ('no', 'yes')),
    rapid_length_mm REAL CHECK (rapid_length_mm >= 0)                 -- of a part program, as it stands there
) STRICT;

-- The outline itself as src/core/outline_pack.c writes it, in pieces: no value of a shop file is longer than a megabyte.
CREATE TABLE drawn_piece (
    drawn_id INTEGER NOT NULL REFERENCES drawn (id),
    number INTEGER NOT NULL CHECK (number > 0),
    bytes BLOB NOT NULL CHECK (length(bytes) BETWEEN 1 AND 500000),
    PRIMARY KEY (drawn_id, number)
) STRICT;

ALTER TABLE part ADD COLUMN outline_id INTEGER REFERENCES drawn (id);

ALTER TABLE machine ADD COLUMN lead REAL NOT NULL DEFAULT 0.5 CHECK (lead BETWEEN 0 AND 5);
ALTER TABLE machine ADD COLUMN jet_on TEXT CHECK (length(jet_on) <= 40);
ALTER TABLE machine ADD COLUMN layers_out TEXT CHECK (length(layers_out) <= 200);
ALTER TABLE machine ADD COLUMN jet_off TEXT CHECK (length(jet_off) <= 40);
