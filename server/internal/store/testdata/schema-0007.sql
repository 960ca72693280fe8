CREATE TABLE schema_version (version BIGINT NOT NULL);
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

-- When each version was made. 0 is one between the first and the last from before this was kept.
ALTER TABLE event_versions ADD COLUMN create_ms BIGINT NOT NULL DEFAULT 0;
UPDATE event_versions SET create_ms = (SELECT e.update_ms FROM events e WHERE e.id = event_versions.event_id)
    WHERE version = (SELECT e.version FROM events e WHERE e.id = event_versions.event_id);
UPDATE event_versions SET create_ms = (SELECT e.create_ms FROM events e WHERE e.id = event_versions.event_id)
    WHERE version = 1;

-- SHA-256 of what a request asked for, in hex. Empty when that is not known.
ALTER TABLE requests ADD COLUMN hash TEXT NOT NULL DEFAULT '';

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

INSERT INTO schema_version (version) VALUES (1);
INSERT INTO schema_version (version) VALUES (2);
INSERT INTO schema_version (version) VALUES (3);
INSERT INTO schema_version (version) VALUES (4);
INSERT INTO schema_version (version) VALUES (5);
INSERT INTO schema_version (version) VALUES (6);
INSERT INTO schema_version (version) VALUES (7);
INSERT INTO events (id, version, title, date, create_ms, update_ms, made, closes) VALUES ('party', 1, 'Inês & نور', '2027-05-15', 1810382400000, 1810382400000, 2, '2027-05-01');
INSERT INTO event_versions (event_id, version, create_ms, what, made_by, label, planned, back, forth, draft, body) VALUES ('party', 1, 1810382400000, 'read', 'studio', 'Inês and Noor', 1, 0, 0, '{"Text":"Inês + Noor"}', '{"Title":"Inês \u0026 نور","Date":"2027-05-15","TimeZone":"Europe/Lisbon","Sides":[{"ID":"i","Label":"Inês''s side"}],"People":[{"ID":"ines","Name":"Inês Duarte","SayAs":"ee-NESH","Relation":"grandmother","Side":"i","AgeBand":1,"HeightCM":160,"Needs":[1,2],"PresentFrom":"12:00","PresentUntil":"18:00","Presence":[{"From":"12:00","Until":"14:00"}],"Interpreter":"noor","Absent":false,"ReleaseWeight":7,"PrivateNote":"tired"},{"ID":"noor","Name":"نور حداد","SayAs":"","Relation":"","Side":"","AgeBand":2,"HeightCM":0,"Needs":null,"PresentFrom":"","PresentUntil":"","Presence":null,"Interpreter":"","Absent":false,"ReleaseWeight":null,"PrivateNote":""}],"Circles":[{"ID":"both","Title":"Both","Members":["ines","noor"],"Leader":"noor"}],"Groupings":[{"ID":"all","Title":"All","Members":["both"],"Without":null,"EachOf":"","Priority":1,"Blocks":["garden"],"After":null,"NotBefore":"","NotAfter":"","Confirms":null,"Pin":1,"Minutes":2.5,"Frames":3,"PrivateNote":"n"},{"ID":"one","Title":"","Members":["both"],"Without":["noor"],"EachOf":"","Priority":2,"Blocks":null,"After":["all"],"NotBefore":"12:10","NotAfter":"13:00","Confirms":["r"],"Pin":0,"Minutes":null,"Frames":0,"PrivateNote":""}],"Blocks":[{"ID":"garden","Title":"Garden","Place":"Lawn","Opens":"12:00","Closes":"13:00","Photographer":"V","Capacity":9,"StepFree":true}],"Rules":[{"ID":"r","Apart":{"People":["ines","noor"],"Scope":2,"Until":"12:30"},"Turns":null,"Seniority":null,"PrivateNote":"x"},{"ID":"","Apart":null,"Turns":{"People":["ines","noor"]},"Seniority":null,"PrivateNote":""},{"ID":"","Apart":null,"Turns":null,"Seniority":{"People":["ines","noor"]},"PrivateNote":""}],"Walks":[{"From":"Lawn","To":"Hall","Minutes":3}],"Pace":{"SettleSeconds":7,"PerStepInSeconds":null,"PerStepOutSeconds":null,"FreshSeconds":null,"Arrange":null,"PerFrameSeconds":null,"ElderSeconds":null,"ChildSeconds":null,"InfantSeconds":null,"WheelchairSeconds":null,"Frames":null},"Weights":{"Step":7,"ReleaseAdult":null,"ReleaseChild":null,"ReleaseInfant":null,"ReleaseElder":null,"ReleaseNeed":null,"Idle":null},"Emphasis":1}');
INSERT INTO event_asides (event_id, key, create_ms, made_by, label, planned, settled, body, draft) VALUES ('party', 'aside1', 1810382400000, 'studio', 'Inês and Noor', 0, 0, '{"Title":"Inês"}', '{"Text":"Inês"}');
INSERT INTO requests (scope, request_id, event_id, made_id, hash) VALUES ('events', 'request-1', 'party', 'party', '9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08');
INSERT INTO requests (scope, request_id, event_id, made_id, hash) VALUES ('events/party/sheets', 'request-2', 'party', 'sheet1', '9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08');
INSERT INTO requests (scope, request_id, event_id, made_id, hash) VALUES ('events/party/runs', 'request-3', 'party', 'run1', '9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08');
INSERT INTO sheets (event_id, id, number, version, create_ms, body) VALUES ('party', 'sheet1', 1, 1, 1810382400000, '{"Blocks":[{"Block":"garden","Start":"2027-05-15T12:00:00Z","Length":3600000000000,"StepIns":2,"Entries":[{"Grouping":"all","Title":"All","Offset":0,"Length":60000000000,"Wait":0,"StepIn":["ines","noor"],"StepOut":null,"Stay":null,"Released":["noor"],"Standby":null,"Near":null,"Frames":3}]}],"LeftOut":[{"Grouping":"one","Reason":"No time left.","Priority":2}],"People":[{"Person":"ines","Call":"2027-05-15T12:00:00Z","Release":"2027-05-15T12:01:00Z","TimesIn":1,"Idle":0,"Groupings":1}],"Totals":{"Groupings":1,"StepIns":2,"RequestedStepIns":0,"FloorStepIns":0,"FloorReached":false,"Length":60000000000,"Cost":5,"Bound":5,"Proven":true,"SolveTime":0},"Advice":[{"Code":"NO_EFFECT","Severity":1,"Text":"t","Subjects":["one"],"Field":"groupings[1]"}]}');
INSERT INTO runs (event_id, id, number, sheet_id, version, create_ms, sequence, plan_sequence, plan_covers, plan) VALUES ('party', 'run1', 2, 'sheet1', 1, 1810382400000, 13, 13, 12, '{"Made":"2027-05-15T12:00:00Z","Sheet":{"Blocks":null,"LeftOut":null,"People":null,"Totals":{"Groupings":0,"StepIns":0,"RequestedStepIns":0,"FloorStepIns":0,"FloorReached":false,"Length":0,"Cost":0,"Bound":0,"Proven":false,"SolveTime":0},"Advice":null},"Next":{"garden":"one"},"Owed":null,"Forecasts":null}');
INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES ('party', 'run1', 1, '01a58333-2a00-78c6-9ba3-8139044196cd', '{"ID":"01a58333-2a00-78c6-9ba3-8139044196cd","Kind":"started","At":"2027-05-15T12:00:00Z","DeviceAt":"2027-05-15T12:00:00Z","Received":"2027-05-15T12:00:00Z","By":"studio","Grouping":"all","Block":"garden"}');
INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES ('party', 'run1', 2, '01a58333-2de8-797a-b024-22b8a69ff99a', '{"ID":"01a58333-2de8-797a-b024-22b8a69ff99a","Kind":"skipped","At":"2027-05-15T12:00:01Z","DeviceAt":"2027-05-15T12:00:01Z","Received":"2027-05-15T12:00:01Z","By":"studio","Grouping":"one"}');
INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES ('party', 'run1', 3, '01a58334-1460-7611-89c4-43bf27668a26', '{"ID":"01a58334-1460-7611-89c4-43bf27668a26","Kind":"taken","At":"2027-05-15T12:01:00Z","DeviceAt":"2027-05-15T12:01:00Z","Received":"2027-05-15T12:01:00Z","By":"studio","Grouping":"all","Block":"garden"}');
INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES ('party', 'run1', 4, '01a58334-1848-7c26-90eb-c137e4dd7456', '{"ID":"01a58334-1848-7c26-90eb-c137e4dd7456","Kind":"put_back","At":"2027-05-15T12:01:01Z","DeviceAt":"2027-05-15T12:01:01Z","Received":"2027-05-15T12:01:01Z","By":"studio","Grouping":"one"}');
INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES ('party', 'run1', 5, '01a58334-1c30-7fa4-be15-64359ba843c5', '{"ID":"01a58334-1c30-7fa4-be15-64359ba843c5","Kind":"absent","At":"2027-05-15T12:01:02Z","DeviceAt":"2027-05-15T12:01:02Z","Received":"2027-05-15T12:01:02Z","By":"studio","Person":"noor"}');
INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES ('party', 'run1', 6, '01a58334-2018-76fb-9139-f16db769ce82', '{"ID":"01a58334-2018-76fb-9139-f16db769ce82","Kind":"arrived","At":"2027-05-15T12:01:03Z","DeviceAt":"2027-05-15T12:01:03Z","Received":"2027-05-15T12:01:03Z","By":"studio","Person":"noor"}');
INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES ('party', 'run1', 7, '01a58334-2400-7af1-b4bb-72f985fe711f', '{"ID":"01a58334-2400-7af1-b4bb-72f985fe711f","Kind":"gone","At":"2027-05-15T12:01:04Z","DeviceAt":"2027-05-15T12:01:04Z","Received":"2027-05-15T12:01:04Z","By":"studio","Person":"noor"}');
INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES ('party', 'run1', 8, '01a58334-27e8-7a7b-9744-c65f932c5f09', '{"ID":"01a58334-27e8-7a7b-9744-c65f932c5f09","Kind":"late","At":"2027-05-15T12:01:05Z","DeviceAt":"2027-05-15T12:01:05Z","Received":"2027-05-15T12:01:05Z","By":"studio","Person":"ines","Until":"2027-05-15T13:00:00Z"}');
INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES ('party', 'run1', 9, '01a58334-2bd0-7ac1-a0c0-aaa721e5e0e9', '{"ID":"01a58334-2bd0-7ac1-a0c0-aaa721e5e0e9","Kind":"added","At":"2027-05-15T12:01:06Z","DeviceAt":"2027-05-15T12:01:06Z","Received":"2027-05-15T12:01:06Z","By":"studio","Grouped":{"ID":"x","Title":"","Members":["ines"],"Without":null,"EachOf":"","Priority":0,"Blocks":null,"After":null,"NotBefore":"","NotAfter":"","Confirms":null,"Pin":0,"Minutes":null,"Frames":0,"PrivateNote":""}}');
INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES ('party', 'run1', 10, '01a58334-2fb8-7529-99c1-d07b9f9e0413', '{"ID":"01a58334-2fb8-7529-99c1-d07b9f9e0413","Kind":"without","At":"2027-05-15T12:01:07Z","DeviceAt":"2027-05-15T12:01:07Z","Received":"2027-05-15T12:01:07Z","By":"studio","Grouping":"one","People":["noor"]}');
INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES ('party', 'run1', 11, '01a58334-33a0-7aa1-955e-2aba8c862cae', '{"ID":"01a58334-33a0-7aa1-955e-2aba8c862cae","Kind":"note","At":"2027-05-15T12:01:08Z","DeviceAt":"2027-05-15T12:01:08Z","Received":"2027-05-15T12:01:08Z","By":"studio","Note":"hot"}');
INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES ('party', 'run1', 12, '01a58334-3788-718e-b7a0-5ac891a511fa', '{"ID":"01a58334-3788-718e-b7a0-5ac891a511fa","Kind":"undone","At":"2027-05-15T12:01:09Z","DeviceAt":"2027-05-15T12:01:09Z","Received":"2027-05-15T12:01:09Z","By":"studio","Undoes":"01a58333-2de8-797a-b024-22b8a69ff99a"}');
INSERT INTO links (event_id, id, hash, role, title, create_ms, expire_ms, revoke_ms) VALUES ('party', '6rth75v54xvmbwoz', '8a5bdb4cc15164126c6ef2668de9dd240d299ce6397a42c95a9411b93d080ed8', 'reader', 'Aunt', 1810382400000, 0, 0);
INSERT INTO wishes (event_id, id, link_id, body, state, create_ms, number) VALUES ('party', 'wish1', '6rth75v54xvmbwoz', 'Granny with the two of us', 0, 1810382400000, 1);
INSERT INTO webhooks (id, url, secret, create_ms, failed_ms, failure) VALUES ('hook1', 'https://studio.example/told', 'whsec_AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA', 1810382400000, 0, '');
INSERT INTO notices (webhook_id, id, kind, event_id, resource, create_ms, due_ms, tries, over_ms) VALUES ('hook1', 'run.begun-run1', 'run.begun', 'party', 'events/party/runs/run1', 1810382400000, 1810382400000, 1, 0);
