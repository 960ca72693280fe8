-- The studios that one server hosts. A number is given once: those that were removed stay, without name and hash.
-- hash is SHA-256 of the key, in hex. The key itself is kept nowhere. Limits are 0 for none.
CREATE TABLE studios (
    number    BIGINT NOT NULL PRIMARY KEY,
    name      TEXT   UNIQUE,
    hash      TEXT   NOT NULL,
    events    BIGINT NOT NULL,
    bytes     BIGINT NOT NULL,
    searches  BIGINT NOT NULL,
    create_ms BIGINT NOT NULL
);
