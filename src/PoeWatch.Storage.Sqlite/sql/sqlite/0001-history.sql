-- Times are microseconds since 1970-01-01 UTC. Numbers of outcome, severity and operator state are those of the code's enums.

CREATE TABLE pse (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE
) STRICT;

-- Each distinct set of interface names once; hash is the SHA-256 of names.
CREATE TABLE interface_names (
    id INTEGER PRIMARY KEY,
    hash BLOB NOT NULL UNIQUE,
    names BLOB NOT NULL
) STRICT;

-- One row per finished poll. A poll is known by element and time: writing it again changes nothing.
CREATE TABLE poll (
    pse_id INTEGER NOT NULL REFERENCES pse (id),
    at_us INTEGER NOT NULL,
    outcome INTEGER NOT NULL,
    detail TEXT,
    names_id INTEGER REFERENCES interface_names (id),
    payload BLOB NOT NULL,
    PRIMARY KEY (pse_id, at_us)
) STRICT;

CREATE TABLE alarm (
    resource TEXT NOT NULL,
    type TEXT NOT NULL,
    severity INTEGER NOT NULL,
    is_cleared INTEGER NOT NULL CHECK (is_cleared IN (0, 1)),
    raised_at_us INTEGER NOT NULL,
    changed_at_us INTEGER NOT NULL,
    text TEXT NOT NULL,
    next_steps TEXT NOT NULL,
    operator_state INTEGER NOT NULL,
    operator_name TEXT NOT NULL,
    operator_text TEXT NOT NULL,
    PRIMARY KEY (resource, type)
) STRICT;

CREATE TABLE alarm_change (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    resource TEXT NOT NULL,
    type TEXT NOT NULL,
    at_us INTEGER NOT NULL,
    kind TEXT NOT NULL,
    severity INTEGER NOT NULL,
    who TEXT NOT NULL,
    text TEXT NOT NULL
) STRICT;

CREATE INDEX alarm_change_by_time ON alarm_change (at_us, id);

CREATE INDEX alarm_change_by_key ON alarm_change (resource, type, at_us);

CREATE TABLE design_version (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    hash TEXT NOT NULL,
    text TEXT NOT NULL,
    in_force_from_us INTEGER NOT NULL,
    applied_by TEXT NOT NULL
) STRICT;
