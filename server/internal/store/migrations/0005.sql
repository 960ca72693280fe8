-- What was written on the planner's pages while somebody else changed the event: it is no version, and stays until
-- somebody chooses. settled is 1 from then on. A window that goes on writing keeps to one key.
CREATE TABLE event_asides (
    event_id  TEXT   NOT NULL REFERENCES events (id) ON DELETE CASCADE,
    key       TEXT   NOT NULL,
    create_ms BIGINT NOT NULL,
    made_by   TEXT   NOT NULL,
    label     TEXT   NOT NULL,
    planned   BIGINT NOT NULL,
    settled   BIGINT NOT NULL,
    body      TEXT   NOT NULL,
    draft     TEXT   NOT NULL,
    PRIMARY KEY (event_id, key)
);

-- The day from which on the list takes no more changes from whoever has a link, empty for none.
ALTER TABLE events ADD COLUMN closes TEXT NOT NULL DEFAULT '';
