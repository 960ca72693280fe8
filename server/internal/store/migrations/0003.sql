-- When each version was made. 0 is one between the first and the last from before this was kept.
ALTER TABLE event_versions ADD COLUMN create_ms BIGINT NOT NULL DEFAULT 0;
UPDATE event_versions SET create_ms = (SELECT e.update_ms FROM events e WHERE e.id = event_versions.event_id)
    WHERE version = (SELECT e.version FROM events e WHERE e.id = event_versions.event_id);
UPDATE event_versions SET create_ms = (SELECT e.create_ms FROM events e WHERE e.id = event_versions.event_id)
    WHERE version = 1;

-- SHA-256 of what a request asked for, in hex. Empty when that is not known.
ALTER TABLE requests ADD COLUMN hash TEXT NOT NULL DEFAULT '';
