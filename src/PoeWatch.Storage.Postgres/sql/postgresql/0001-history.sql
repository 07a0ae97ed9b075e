-- Numbers of outcome, severity and operator state are those of the code's enums.

CREATE TABLE pse (
    id integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    name text NOT NULL UNIQUE
);

-- Each distinct set of interface names once; hash is the SHA-256 of names.
CREATE TABLE interface_names (
    id integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    hash bytea NOT NULL UNIQUE,
    names bytea NOT NULL
);

-- One row per finished poll. A poll is known by element and time: writing it again changes nothing.
CREATE TABLE poll (
    at timestamptz NOT NULL,
    pse_id integer NOT NULL REFERENCES pse (id),
    names_id integer REFERENCES interface_names (id),
    outcome smallint NOT NULL,
    detail text,
    payload bytea NOT NULL,
    PRIMARY KEY (pse_id, at)
);

-- Packed already: pglz would only cost time.
ALTER TABLE poll ALTER COLUMN payload SET STORAGE EXTERNAL;

CREATE TABLE alarm (
    resource text NOT NULL,
    type text NOT NULL,
    severity smallint NOT NULL,
    is_cleared boolean NOT NULL,
    raised_at timestamptz NOT NULL,
    changed_at timestamptz NOT NULL,
    text text NOT NULL,
    next_steps text NOT NULL,
    operator_state smallint NOT NULL,
    operator_name text NOT NULL,
    operator_text text NOT NULL,
    PRIMARY KEY (resource, type)
);

CREATE TABLE alarm_change (
    id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    resource text NOT NULL,
    type text NOT NULL,
    at timestamptz NOT NULL,
    kind text NOT NULL,
    severity smallint NOT NULL,
    who text NOT NULL,
    text text NOT NULL
);

CREATE INDEX alarm_change_by_time ON alarm_change (at, id);

CREATE INDEX alarm_change_by_key ON alarm_change (resource, type, at);

CREATE TABLE design_version (
    id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    hash text NOT NULL,
    text text NOT NULL,
    in_force_from timestamptz NOT NULL,
    applied_by text NOT NULL
);
