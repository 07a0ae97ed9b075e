-- Shelves with an end, why nobody is called, and maintenance windows. shelf_accepted: severity up to which a deviation is accepted; null where shelved.

ALTER TABLE alarm ADD COLUMN shelf_until timestamptz;

ALTER TABLE alarm ADD COLUMN shelf_accepted smallint;

ALTER TABLE alarm ADD COLUMN maintenance_id text NOT NULL DEFAULT '';

ALTER TABLE alarm_change ADD COLUMN quiet_because text NOT NULL DEFAULT '';

CREATE TABLE maintenance_window (
    id text PRIMARY KEY,
    scope text NOT NULL,
    from_at timestamptz NOT NULL,
    to_at timestamptz NOT NULL,
    who text NOT NULL,
    reason text NOT NULL,
    added_at timestamptz NOT NULL,
    ended_at timestamptz,
    ended_by text NOT NULL
);

CREATE INDEX maintenance_window_by_end ON maintenance_window (to_at);
