-- The hash tree over the history, appended only. kind: 1 seal, 2 amendment. A leaf's id is its place in the tree, from 0.

CREATE TABLE sealed_element (
    id integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    name text NOT NULL UNIQUE
);

-- polls: the times of the polls that a leaf covers, packed.
CREATE TABLE seal_leaf (
    id bigint PRIMARY KEY,
    start timestamptz NOT NULL,
    element_id integer NOT NULL REFERENCES sealed_element (id),
    kind smallint NOT NULL,
    polls bytea NOT NULL,
    hash bytea NOT NULL
);

CREATE INDEX seal_leaf_by_element ON seal_leaf (element_id, start, id);

CREATE UNIQUE INDEX seal_leaf_once ON seal_leaf (element_id, start) WHERE kind = 1;

-- Hashes of whole subtrees of 2^8, 2^16, ... leaves: with them any proof is a few short reads.
CREATE TABLE seal_tile (
    level integer NOT NULL,
    place bigint NOT NULL,
    hash bytea NOT NULL,
    PRIMARY KEY (level, place)
);

-- day is written yyyy-mm-dd; signature is base64, empty where the root is not signed.
CREATE TABLE day_root (
    day text PRIMARY KEY,
    size bigint NOT NULL,
    root bytea NOT NULL,
    at timestamptz NOT NULL,
    key_id text NOT NULL,
    signature text NOT NULL
);

-- Sealed quarter-hours to which a poll was written later, until an amendment answers them.
CREATE TABLE late_mark (
    element text NOT NULL,
    start timestamptz NOT NULL,
    PRIMARY KEY (element, start)
);
