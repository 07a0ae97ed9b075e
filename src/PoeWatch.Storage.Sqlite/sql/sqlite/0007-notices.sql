-- The outbox. A lane is written role/channel; read_to is the id of the last alarm_change that it took.

CREATE TABLE notice_lane (
    name TEXT NOT NULL PRIMARY KEY,
    read_to INTEGER NOT NULL,
    opened_at_us INTEGER NOT NULL
) STRICT;

-- Alarms that a lane was told of and not yet told to be over.
CREATE TABLE told_alarm (
    lane TEXT NOT NULL,
    resource TEXT NOT NULL,
    type TEXT NOT NULL,
    severity INTEGER NOT NULL,
    raised_at_us INTEGER NOT NULL,
    PRIMARY KEY (lane, resource, type)
) STRICT;

-- state: 1 waiting, 2 sent, 3 dead. content: JSON. post_key names a notice within its lane.
CREATE TABLE notice (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    lane TEXT NOT NULL,
    post_key TEXT NOT NULL,
    resource TEXT NOT NULL,
    at_us INTEGER NOT NULL,
    due_at_us INTEGER NOT NULL,
    is_held INTEGER NOT NULL CHECK (is_held IN (0, 1)),
    state INTEGER NOT NULL,
    attempts INTEGER NOT NULL,
    tried_at_us INTEGER,
    problem TEXT NOT NULL,
    content TEXT NOT NULL
) STRICT;

CREATE UNIQUE INDEX notice_once ON notice (lane, post_key);

CREATE INDEX notice_by_state ON notice (state, lane, id);
