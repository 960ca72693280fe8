-- Times are milliseconds since 1970 UTC. Bodies are JSON documents.
CREATE TABLE events (
    id        TEXT   NOT NULL PRIMARY KEY,
    version   BIGINT NOT NULL,
    title     TEXT   NOT NULL,
    date      TEXT   NOT NULL,
    create_ms BIGINT NOT NULL,
    update_ms BIGINT NOT NULL
);
CREATE INDEX events_page ON events (create_ms, id);

-- Every version of an event stays as long as the event: sheets and runs name theirs.
CREATE TABLE event_versions (
    event_id  TEXT   NOT NULL REFERENCES events (id) ON DELETE CASCADE,
    version   BIGINT NOT NULL,
    body      TEXT   NOT NULL,
    PRIMARY KEY (event_id, version)
);

-- Requests to create that were carried out, so that sending one again finds what it made.
CREATE TABLE requests (
    scope      TEXT NOT NULL,
    request_id TEXT NOT NULL,
    event_id   TEXT NOT NULL REFERENCES events (id) ON DELETE CASCADE,
    made_id    TEXT NOT NULL,
    PRIMARY KEY (scope, request_id)
);
CREATE INDEX requests_event ON requests (event_id);

CREATE TABLE sheets (
    event_id  TEXT   NOT NULL,
    id        TEXT   NOT NULL,
    version   BIGINT NOT NULL,
    create_ms BIGINT NOT NULL,
    body      TEXT   NOT NULL,
    PRIMARY KEY (event_id, id),
    FOREIGN KEY (event_id, version) REFERENCES event_versions (event_id, version) ON DELETE CASCADE
);

-- sequence counts the changes of a run: marks and plans. plan is the newest plan as JSON, empty when
-- there is none. plan_covers is the sequence up to which it heeds the marks.
CREATE TABLE runs (
    event_id      TEXT   NOT NULL,
    id            TEXT   NOT NULL,
    sheet_id      TEXT   NOT NULL,
    version       BIGINT NOT NULL,
    create_ms     BIGINT NOT NULL,
    sequence      BIGINT NOT NULL,
    plan_sequence BIGINT NOT NULL,
    plan_covers   BIGINT NOT NULL,
    plan          TEXT   NOT NULL,
    PRIMARY KEY (event_id, id),
    FOREIGN KEY (event_id, version) REFERENCES event_versions (event_id, version) ON DELETE CASCADE
);

CREATE TABLE marks (
    event_id TEXT   NOT NULL,
    run_id   TEXT   NOT NULL,
    sequence BIGINT NOT NULL,
    id       TEXT   NOT NULL,
    body     TEXT   NOT NULL,
    PRIMARY KEY (event_id, run_id, sequence),
    UNIQUE (event_id, run_id, id),
    FOREIGN KEY (event_id, run_id) REFERENCES runs (event_id, id) ON DELETE CASCADE
);

-- hash is SHA-256 of the secret, in hex. The secret itself is kept nowhere.
CREATE TABLE links (
    event_id  TEXT   NOT NULL REFERENCES events (id) ON DELETE CASCADE,
    id        TEXT   NOT NULL,
    hash      TEXT   NOT NULL UNIQUE,
    role      TEXT   NOT NULL,
    title     TEXT   NOT NULL,
    create_ms BIGINT NOT NULL,
    expire_ms BIGINT NOT NULL,
    revoke_ms BIGINT NOT NULL,
    PRIMARY KEY (event_id, id)
);
