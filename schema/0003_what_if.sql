-- What-ifs: named copies of the plan, kept until they are dropped. A copy is the changes that make it out of the kept plan,
-- so it goes along when the plan changes: one line KEY TAB FIELD=VALUE each.

CREATE TABLE what_if (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE CHECK (length(name) BETWEEN 1 AND 60),
    edits TEXT NOT NULL CHECK (length(edits) <= 100000),
    who TEXT NOT NULL CHECK (length(who) BETWEEN 1 AND 100),
    at REAL NOT NULL CHECK (at BETWEEN 0 AND 2.6e11) -- seconds since 1970-01-01 UTC
) STRICT;
