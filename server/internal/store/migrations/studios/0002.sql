-- How many people an event of the studio may have, 0 for any number.
ALTER TABLE studios ADD COLUMN people BIGINT NOT NULL DEFAULT 0;
