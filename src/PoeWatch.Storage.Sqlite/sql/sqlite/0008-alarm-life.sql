-- Shelves with an end, why nobody is called, and maintenance windows. shelf_accepted: severity up to which a deviation is accepted; null where shelved.

ALTER TABLE alarm ADD COLUMN shelf_until_us INTEGER;

ALTER TABLE alarm ADD COLUMN shelf_accepted INTEGER;

ALTER TABLE alarm ADD COLUMN maintenance_id TEXT NOT NULL DEFAULT '';

ALTER TABLE alarm_change ADD COLUMN quiet_because TEXT NOT NULL DEFAULT '';

CREATE TABLE maintenance_window (
    id TEXT PRIMARY KEY,
    scope TEXT NOT NULL,
    from_at_us INTEGER NOT NULL,
    to_at_us INTEGER NOT NULL,
    who TEXT NOT NULL,
    reason TEXT NOT NULL,
    added_at_us INTEGER NOT NULL,
    ended_at_us INTEGER,
    ended_by TEXT NOT NULL
) STRICT;

CREATE INDEX maintenance_window_by_end ON maintenance_window (to_at_us);
