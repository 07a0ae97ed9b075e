-- The outbox. A lane is written role/channel; read_to is the id of the last alarm_change that it took.

CREATE TABLE notice_lane (
    name text PRIMARY KEY,
    read_to bigint NOT NULL,
    opened_at timestamptz NOT NULL
);

-- Alarms that a lane was told of and not yet told to be over.
CREATE TABLE told_alarm (
    lane text NOT NULL,
    resource text NOT NULL,
    type text NOT NULL,
    severity smallint NOT NULL,
    raised_at timestamptz NOT NULL,
    PRIMARY KEY (lane, resource, type)
);

-- state: 1 waiting, 2 sent, 3 dead. content: JSON. post_key names a notice within its lane.
CREATE TABLE notice (
    id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    lane text NOT NULL,
    post_key text NOT NULL,
    resource text NOT NULL,
    at timestamptz NOT NULL,
    due_at timestamptz NOT NULL,
    is_held boolean NOT NULL,
    state smallint NOT NULL,
    attempts integer NOT NULL,
    tried_at timestamptz,
    problem text NOT NULL,
    content text NOT NULL
);

CREATE UNIQUE INDEX notice_once ON notice (lane, post_key);

CREATE INDEX notice_by_state ON notice (state, lane, id);
