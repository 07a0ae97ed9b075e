-- What people posted of conditions, appended only. state: 0 none, 1 holds, 2 does not hold. A row without an end takes back what was said before.

CREATE TABLE posted_condition (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    topic TEXT NOT NULL,
    at_us INTEGER NOT NULL,
    who TEXT NOT NULL,
    state INTEGER NOT NULL,
    air_millicelsius INTEGER,
    until_us INTEGER,
    text TEXT NOT NULL
) STRICT;

CREATE INDEX posted_condition_by_time ON posted_condition (at_us, id);

CREATE INDEX posted_condition_by_topic ON posted_condition (topic, id);
