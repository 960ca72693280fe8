-- Addresses that are told what happens. secret signs what is sent there, so it is kept itself. failed_ms is since when
-- nothing arrives there, 0 while it does, and failure says why.
CREATE TABLE webhooks (
    id        TEXT   NOT NULL PRIMARY KEY,
    url       TEXT   NOT NULL,
    secret    TEXT   NOT NULL,
    create_ms BIGINT NOT NULL,
    failed_ms BIGINT NOT NULL,
    failure   TEXT   NOT NULL
);

-- What they are told. It stays for a while after it was sent, so that nothing is told twice. over_ms is when it arrived or
-- was given up, 0 before.
CREATE TABLE notices (
    webhook_id TEXT   NOT NULL REFERENCES webhooks (id) ON DELETE CASCADE,
    id         TEXT   NOT NULL,
    kind       TEXT   NOT NULL,
    event_id   TEXT   NOT NULL REFERENCES events (id) ON DELETE CASCADE,
    resource   TEXT   NOT NULL,
    create_ms  BIGINT NOT NULL,
    due_ms     BIGINT NOT NULL,
    tries      BIGINT NOT NULL,
    over_ms    BIGINT NOT NULL,
    PRIMARY KEY (webhook_id, id)
);
CREATE INDEX notices_due ON notices (over_ms, due_ms);
CREATE INDEX notices_event ON notices (event_id);
