-- What the planner's pages keep beside each version: what was done and by whom, what to call an event without a title,
-- whether there is a plan, the versions that a step back and a step forth lead to (0 for none), and all that was
-- written, as JSON. Versions that others made have none of it.
ALTER TABLE event_versions ADD COLUMN what TEXT NOT NULL DEFAULT '';
ALTER TABLE event_versions ADD COLUMN made_by TEXT NOT NULL DEFAULT '';
ALTER TABLE event_versions ADD COLUMN label TEXT NOT NULL DEFAULT '';
ALTER TABLE event_versions ADD COLUMN planned BIGINT NOT NULL DEFAULT 0;
ALTER TABLE event_versions ADD COLUMN back BIGINT NOT NULL DEFAULT 0;
ALTER TABLE event_versions ADD COLUMN forth BIGINT NOT NULL DEFAULT 0;
ALTER TABLE event_versions ADD COLUMN draft TEXT NOT NULL DEFAULT '';
