-- The history: what each step changed, so that it can be taken back and done again, and who did it when.
--
-- A step is a change, an undo or a redo. What it changed stands in step_changes as SQLite's session extension writes
-- it down, in pieces, and in step_touch as the rows and columns to look for. Columns are known by their number there:
-- a later migration that moves or drops columns of a recorded table also empties these tables.

CREATE TABLE step (
    id INTEGER PRIMARY KEY,
    kind TEXT NOT NULL CHECK (kind IN ('change', 'undo', 'redo')),
    of_id INTEGER REFERENCES step (id),                -- undo, redo: of which change
    state_id INTEGER REFERENCES step (id),             -- change: the row that took it back or did it last, maybe itself
    who TEXT NOT NULL CHECK (length(who) BETWEEN 1 AND 100),
    at REAL NOT NULL CHECK (at BETWEEN 0 AND 2.6e11),  -- seconds since 1970-01-01 UTC
    words TEXT NOT NULL CHECK (length(words) BETWEEN 1 AND 400),
    version INTEGER NOT NULL CHECK (version > 0),      -- of the shop file at that time
    CHECK ((kind = 'change') = (of_id IS NULL)),
    CHECK ((kind = 'change') = (state_id IS NOT NULL))
) STRICT;
CREATE INDEX step_by_of ON step (of_id);

CREATE TABLE step_changes (
    id INTEGER PRIMARY KEY,
    step_id INTEGER NOT NULL REFERENCES step (id),
    bytes BLOB NOT NULL CHECK (length(bytes) > 0)
) STRICT;
CREATE INDEX step_changes_by_step ON step_changes (step_id);

-- Of each table that a step changed, its first and its last row, and a bit for each column. All bits: a row was added
-- or removed.
CREATE TABLE step_touch (
    kind TEXT NOT NULL,
    step_id INTEGER NOT NULL REFERENCES step (id),
    first_row INTEGER NOT NULL,
    last_row INTEGER NOT NULL,
    columns INTEGER NOT NULL,
    PRIMARY KEY (kind, step_id)
) STRICT, WITHOUT ROWID;

-- The highest id that a row of a table ever had in a step: it is never given to another row, or undo would meet a
-- stranger.
CREATE TABLE used_row (
    kind TEXT NOT NULL PRIMARY KEY,
    id INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
