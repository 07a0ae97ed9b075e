-- What people posted of conditions, appended only. state: 0 none, 1 holds, 2 does not hold. A row without an end takes back what was said before.

CREATE TABLE posted_condition (
    id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    topic text NOT NULL,
    at timestamptz NOT NULL,
    who text NOT NULL,
    state smallint NOT NULL,
    air_millicelsius integer,
    until timestamptz,
    text text NOT NULL
);

CREATE INDEX posted_condition_by_time ON posted_condition (at, id);

CREATE INDEX posted_condition_by_topic ON posted_condition (topic, id);
