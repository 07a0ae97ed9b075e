-- Rollups: derived from the readings, packed by subject and day (by hour for the running day). Numbers of kind and step are those of the code's enums.

CREATE TABLE rollup_subject (
    id INTEGER PRIMARY KEY,
    kind INTEGER NOT NULL,
    name TEXT NOT NULL,
    UNIQUE (kind, name)
) STRICT;

CREATE TABLE rollup (
    subject_id INTEGER NOT NULL REFERENCES rollup_subject (id),
    step INTEGER NOT NULL,
    start_us INTEGER NOT NULL,
    until_us INTEGER NOT NULL,
    payload BLOB NOT NULL,
    PRIMARY KEY (subject_id, step, start_us)
) STRICT;

-- Up to where everything is rolled up: one row for hours, one for days.
CREATE TABLE rollup_frontier (
    step INTEGER NOT NULL UNIQUE,
    until_us INTEGER NOT NULL
) STRICT;

-- Hours that readings came for after they were rolled up.
CREATE TABLE rollup_late (
    name TEXT NOT NULL,
    hour_us INTEGER NOT NULL,
    PRIMARY KEY (name, hour_us)
) STRICT;
