-- The hash tree over the history, appended only. kind: 1 seal, 2 amendment. A leaf's id is its place in the tree, from 0.

CREATE TABLE sealed_element (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE
) STRICT;

-- polls: the times of the polls that a leaf covers, packed.
CREATE TABLE seal_leaf (
    id INTEGER PRIMARY KEY,
    element_id INTEGER NOT NULL REFERENCES sealed_element (id),
    start_us INTEGER NOT NULL,
    kind INTEGER NOT NULL,
    polls BLOB NOT NULL,
    hash BLOB NOT NULL
) STRICT;

CREATE INDEX seal_leaf_by_element ON seal_leaf (element_id, start_us, id);

CREATE UNIQUE INDEX seal_leaf_once ON seal_leaf (element_id, start_us) WHERE kind = 1;

-- Hashes of whole subtrees of 2^8, 2^16, ... leaves: with them any proof is a few short reads.
CREATE TABLE seal_tile (
    level INTEGER NOT NULL,
    place INTEGER NOT NULL,
    hash BLOB NOT NULL,
    PRIMARY KEY (level, place)
) STRICT;

-- day is written yyyy-mm-dd; signature is base64, empty where the root is not signed.
CREATE TABLE day_root (
    day TEXT PRIMARY KEY,
    size INTEGER NOT NULL,
    root BLOB NOT NULL,
    at_us INTEGER NOT NULL,
    key_id TEXT NOT NULL,
    signature TEXT NOT NULL
) STRICT;

-- Sealed quarter-hours to which a poll was written later, until an amendment answers them.
CREATE TABLE late_mark (
    element TEXT NOT NULL,
    start_us INTEGER NOT NULL,
    PRIMARY KEY (element, start_us)
) STRICT;
