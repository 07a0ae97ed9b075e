-- What happened to agents between two polls, appended only. kind is a word of ours: agent-restarted, restarted, replaced, renumbered, groups-changed.

CREATE TABLE agent_change (
    id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    pse_name text NOT NULL,
    at timestamptz NOT NULL,
    kind text NOT NULL,
    text text NOT NULL
);

CREATE INDEX agent_change_by_time ON agent_change (at, id);

CREATE INDEX agent_change_by_pse ON agent_change (pse_name, at, id);
