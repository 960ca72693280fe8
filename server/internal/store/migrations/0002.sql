-- Sheets and runs are numbered in the order of their making, because a clock can be put back. made counts
-- them for their event.
ALTER TABLE events ADD COLUMN made BIGINT NOT NULL DEFAULT 0;
ALTER TABLE sheets ADD COLUMN number BIGINT NOT NULL DEFAULT 0;
ALTER TABLE runs ADD COLUMN number BIGINT NOT NULL DEFAULT 0;
UPDATE sheets SET number = (SELECT COUNT(*) FROM sheets AS other WHERE other.event_id = sheets.event_id
    AND (other.create_ms < sheets.create_ms OR other.create_ms = sheets.create_ms AND other.id <= sheets.id));
UPDATE runs SET number = (SELECT COUNT(*) FROM runs AS other WHERE other.event_id = runs.event_id
    AND (other.create_ms < runs.create_ms OR other.create_ms = runs.create_ms AND other.id <= runs.id));
UPDATE events SET made = (SELECT COUNT(*) FROM sheets WHERE sheets.event_id = events.id)
    + (SELECT COUNT(*) FROM runs WHERE runs.event_id = events.id);
CREATE UNIQUE INDEX sheets_number ON sheets (event_id, number);
CREATE UNIQUE INDEX runs_number ON runs (event_id, number);
