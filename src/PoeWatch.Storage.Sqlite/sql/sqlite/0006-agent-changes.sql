-- What happened to agents between two polls, appended only. kind is a word of ours: agent-restarted, restarted, replaced, renumbered, groups-changed.

CREATE TABLE agent_change (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    pse_name TEXT NOT NULL,
    at_us INTEGER NOT NULL,
    kind TEXT NOT NULL,
    text TEXT NOT NULL
) STRICT;

CREATE INDEX agent_change_by_time ON agent_change (at_us, id);

CREATE INDEX agent_change_by_pse ON agent_change (pse_name, at_us, id);
