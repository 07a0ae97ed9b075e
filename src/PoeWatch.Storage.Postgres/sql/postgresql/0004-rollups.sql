-- Rollups: derived from the readings, packed by subject and day (by hour for the running day). Numbers of kind and step are those of the code's enums.

CREATE TABLE rollup_subject (
    id integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    kind smallint NOT NULL,
    name text NOT NULL,
    UNIQUE (kind, name)
);

CREATE TABLE rollup (
    start timestamptz NOT NULL,
    until timestamptz NOT NULL,
    subject_id integer NOT NULL REFERENCES rollup_subject (id),
    step smallint NOT NULL,
    payload bytea NOT NULL,
    PRIMARY KEY (subject_id, step, start)
);

-- Packed already: pglz would only cost time.
ALTER TABLE rollup ALTER COLUMN payload SET STORAGE EXTERNAL;

-- Up to where everything is rolled up: one row for hours, one for days.
CREATE TABLE rollup_frontier (
    step smallint NOT NULL UNIQUE,
    until timestamptz NOT NULL
);

-- Hours that readings came for after they were rolled up.
CREATE TABLE rollup_late (
    name text NOT NULL,
    hour timestamptz NOT NULL,
    PRIMARY KEY (name, hour)
);
