-- The polls of one element and hour, packed by columns. When a block is written the rows of poll that went into it go, in the same transaction: poll is
-- the journal of what is not packed yet. Polls that come after their hour was packed take a further part.

CREATE TABLE block (
    pse_id INTEGER NOT NULL REFERENCES pse (id),
    hour_us INTEGER NOT NULL,
    part INTEGER NOT NULL,
    payload BLOB NOT NULL,
    PRIMARY KEY (pse_id, hour_us, part)
) STRICT;
