-- The polls of one element and hour, packed by columns. When a block is written the rows of poll that went into it go, in the same transaction: poll is
-- the journal of what is not packed yet. Polls that come after their hour was packed take a further part. A partition a month, made ahead by the service.

CREATE TABLE block (
    hour timestamptz NOT NULL,
    pse_id integer NOT NULL REFERENCES pse (id),
    part smallint NOT NULL,
    payload bytea NOT NULL,
    PRIMARY KEY (pse_id, hour, part)
) PARTITION BY RANGE (hour);

-- In the row itself: three blocks of 48 ports fill a page, pieces of two kilobytes in a table beside it would not.
ALTER TABLE block ALTER COLUMN payload SET STORAGE MAIN;
