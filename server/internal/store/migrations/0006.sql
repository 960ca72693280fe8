-- What families wish for, a line each, by the link through which it came. state is 0 for what nobody has answered, 1 for what
-- was put on the list and 2 for what was not. number counts those of a link.
CREATE TABLE wishes (
    event_id  TEXT   NOT NULL,
    id        TEXT   NOT NULL,
    link_id   TEXT   NOT NULL,
    body      TEXT   NOT NULL,
    state     BIGINT NOT NULL,
    create_ms BIGINT NOT NULL,
    number    BIGINT NOT NULL,
    PRIMARY KEY (event_id, id),
    FOREIGN KEY (event_id, link_id) REFERENCES links (event_id, id) ON DELETE CASCADE
);
