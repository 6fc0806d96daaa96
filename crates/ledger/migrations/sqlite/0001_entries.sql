-- The first ledger: entries, the tables of their kinds, and aids to find them.
--
-- An entry's head stands in `entry`, its content in the table of its kind under the same id. Nothing in these
-- tables is ever changed or deleted: a correction is an entry that supersedes another.
-- Ids are UUIDs of version 7 in their sixteen bytes; moments are microseconds of UTC since 1970.

CREATE TABLE entry (
    "id" BLOB NOT NULL PRIMARY KEY,
    "kind" TEXT NOT NULL,
    "thing" BLOB NOT NULL REFERENCES entry ("id"),      -- the first entry about the same thing
    "about" BLOB REFERENCES entry ("id"),               -- the thing this is about
    "at" INTEGER NOT NULL,
    "zone" TEXT NOT NULL,
    "by_whom" TEXT NOT NULL,
    "origin" TEXT NOT NULL,
    "supersedes" BLOB REFERENCES entry ("id"),
    "why" TEXT,
    CHECK (("supersedes" IS NULL) = ("why" IS NULL)),
    CHECK (("supersedes" IS NULL) = ("thing" = "id"))
) STRICT, WITHOUT ROWID;

CREATE UNIQUE INDEX entry_superseded_once ON entry ("supersedes") WHERE "supersedes" IS NOT NULL;
CREATE INDEX entry_later_versions ON entry ("thing", "id") WHERE "supersedes" IS NOT NULL;
CREATE INDEX entry_about ON entry ("about", "id") WHERE "about" IS NOT NULL;
CREATE INDEX entry_about_nothing ON entry ("kind", "id") WHERE "about" IS NULL;
CREATE INDEX entry_demo ON entry ("id") WHERE "origin" = 'demo' AND "about" IS NULL;

CREATE TABLE mechanics (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "name" TEXT NOT NULL,
    "initials" TEXT NOT NULL,
    "note" TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE wheels (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "label" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "owner" TEXT,
    "contact" TEXT,
    "file" TEXT NOT NULL,
    "note" TEXT
) STRICT;

CREATE TABLE parts (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "wheel" BLOB NOT NULL REFERENCES entry ("id"),
    "what" TEXT NOT NULL,
    "maker" TEXT,
    "model" TEXT,
    "lot" TEXT,
    "serial" TEXT,
    "note" TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE limits (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "about" BLOB NOT NULL REFERENCES entry ("id"),
    "part" TEXT NOT NULL,
    "quantity" TEXT NOT NULL,
    "value" REAL NOT NULL,
    "unit" TEXT NOT NULL,
    "state" TEXT,
    "side" TEXT,
    "spoke_kind" TEXT,
    "source" TEXT NOT NULL,
    "noted" TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE claims (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "about" BLOB NOT NULL REFERENCES entry ("id"),
    "text" TEXT NOT NULL,
    "quantity" TEXT NOT NULL,
    "at_most" REAL,
    "at_least" REAL,
    "of_what" TEXT,
    "dress" TEXT,
    "source" TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE gauges (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "label" TEXT NOT NULL,
    "file" TEXT NOT NULL,
    "note" TEXT
) STRICT;

CREATE TABLE rigs (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "name" TEXT NOT NULL,
    "note" TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE calibrations (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "gauge" BLOB NOT NULL REFERENCES entry ("id"),
    "spoke_kind" TEXT NOT NULL,
    "batch" TEXT,
    "taken" INTEGER NOT NULL,
    "taken_zone" TEXT NOT NULL,
    "operator" TEXT,
    "temperature_c" REAL,
    "rig" BLOB REFERENCES entry ("id"),
    "note" TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE points (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "calibration" BLOB NOT NULL REFERENCES entry ("id"),
    "number" INTEGER NOT NULL,
    "raw_reading" TEXT NOT NULL,
    "reading" REAL NOT NULL,
    "raw_force" TEXT NOT NULL,
    "force_n" REAL NOT NULL,
    "direction" TEXT,
    "u_reading" REAL,
    "u_force_n" REAL
) STRICT, WITHOUT ROWID;

CREATE TABLE rod_checks (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "gauge" BLOB NOT NULL REFERENCES entry ("id"),
    "raw" TEXT NOT NULL,
    "reading" REAL NOT NULL,
    "expected" REAL NOT NULL,
    "tolerance" REAL NOT NULL,
    "temperature_c" REAL,
    "note" TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE visits (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "wheel" BLOB NOT NULL REFERENCES entry ("id"),
    "taken" INTEGER NOT NULL,
    "taken_zone" TEXT NOT NULL,
    "asked" TEXT,
    "bearing" TEXT,
    "not_checked" TEXT NOT NULL,
    "note" TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE laps (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BLOB NOT NULL REFERENCES entry ("id"),
    "takes" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "gauge" BLOB REFERENCES entry ("id"),
    "calibration" BLOB REFERENCES entry ("id"),
    "face" TEXT,
    "start" INTEGER NOT NULL,
    "counted" TEXT NOT NULL,
    "tyre" TEXT,
    "raw_pressure" TEXT,
    "pressure_pa" REAL,
    "temperature_c" REAL,
    "note" TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE readings (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "lap" BLOB NOT NULL REFERENCES entry ("id"),
    "number" INTEGER NOT NULL,
    "spoke" INTEGER,
    "angle_deg" REAL,
    "outcome" TEXT NOT NULL,
    "raw" TEXT NOT NULL,
    "value" REAL
) STRICT, WITHOUT ROWID;

CREATE TABLE weighings (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BLOB NOT NULL REFERENCES entry ("id"),
    "dress" TEXT NOT NULL,
    "raw" TEXT NOT NULL,
    "mass_g" REAL NOT NULL,
    "step_g" REAL
) STRICT, WITHOUT ROWID;

CREATE TABLE looks (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BLOB NOT NULL REFERENCES entry ("id"),
    "spoke" INTEGER,
    "finding" TEXT NOT NULL,
    "photo" TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE photos (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BLOB NOT NULL REFERENCES entry ("id"),
    "hash" TEXT NOT NULL,
    "media_type" TEXT NOT NULL,
    "length" INTEGER NOT NULL,
    "caption" TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE plans (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BLOB NOT NULL REFERENCES entry ("id"),
    "text" TEXT NOT NULL
) STRICT;

CREATE TABLE turns (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "about" BLOB NOT NULL REFERENCES entry ("id"),
    "spoke" INTEGER NOT NULL,
    "turns" REAL NOT NULL,
    "state" TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE advices (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BLOB NOT NULL REFERENCES entry ("id"),
    "text" TEXT NOT NULL,
    "answer" TEXT NOT NULL,
    "reply" TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE reports (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BLOB NOT NULL REFERENCES entry ("id"),
    "hash" TEXT NOT NULL,
    "title" TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE settings (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "key" TEXT NOT NULL,
    "value" TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE withdrawals (
    "id" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "of" BLOB NOT NULL REFERENCES entry ("id"),
    "standing" TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX visits_taken ON visits ("taken", "id");
CREATE INDEX laps_gauge ON laps ("gauge", "id") WHERE "gauge" IS NOT NULL;

-- Aids to find things. They follow from the entries and could be made anew from them at any time.

CREATE TABLE find_labels (
    "label" TEXT NOT NULL PRIMARY KEY,
    "wheel" BLOB NOT NULL REFERENCES entry ("id")
) STRICT, WITHOUT ROWID;

CREATE TABLE find_words (
    "word" TEXT NOT NULL,
    "wheel" BLOB NOT NULL REFERENCES entry ("id"),
    "entry" BLOB NOT NULL REFERENCES entry ("id"),
    PRIMARY KEY ("word", "wheel", "entry")
) STRICT, WITHOUT ROWID;
CREATE INDEX find_words_of_wheel ON find_words ("wheel", "word");

CREATE TABLE find_parts (
    "entry" BLOB NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "maker" TEXT NOT NULL,                             -- empty where it is not known
    "lot" TEXT NOT NULL,
    "serial" TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX find_parts_lot ON find_parts ("maker", "lot");
CREATE INDEX find_parts_serial ON find_parts ("maker", "serial");

CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on entry is refused'); END;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on entry is refused'); END;
CREATE TRIGGER mechanics_no_update BEFORE UPDATE ON mechanics
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on mechanics is refused'); END;
CREATE TRIGGER mechanics_no_delete BEFORE DELETE ON mechanics
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on mechanics is refused'); END;
CREATE TRIGGER wheels_no_update BEFORE UPDATE ON wheels
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on wheels is refused'); END;
CREATE TRIGGER wheels_no_delete BEFORE DELETE ON wheels
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on wheels is refused'); END;
CREATE TRIGGER parts_no_update BEFORE UPDATE ON parts
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on parts is refused'); END;
CREATE TRIGGER parts_no_delete BEFORE DELETE ON parts
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on parts is refused'); END;
CREATE TRIGGER limits_no_update BEFORE UPDATE ON limits
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on limits is refused'); END;
CREATE TRIGGER limits_no_delete BEFORE DELETE ON limits
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on limits is refused'); END;
CREATE TRIGGER claims_no_update BEFORE UPDATE ON claims
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on claims is refused'); END;
CREATE TRIGGER claims_no_delete BEFORE DELETE ON claims
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on claims is refused'); END;
CREATE TRIGGER gauges_no_update BEFORE UPDATE ON gauges
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on gauges is refused'); END;
CREATE TRIGGER gauges_no_delete BEFORE DELETE ON gauges
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on gauges is refused'); END;
CREATE TRIGGER rigs_no_update BEFORE UPDATE ON rigs
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on rigs is refused'); END;
CREATE TRIGGER rigs_no_delete BEFORE DELETE ON rigs
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on rigs is refused'); END;
CREATE TRIGGER calibrations_no_update BEFORE UPDATE ON calibrations
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on calibrations is refused'); END;
CREATE TRIGGER calibrations_no_delete BEFORE DELETE ON calibrations
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on calibrations is refused'); END;
CREATE TRIGGER points_no_update BEFORE UPDATE ON points
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on points is refused'); END;
CREATE TRIGGER points_no_delete BEFORE DELETE ON points
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on points is refused'); END;
CREATE TRIGGER rod_checks_no_update BEFORE UPDATE ON rod_checks
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on rod_checks is refused'); END;
CREATE TRIGGER rod_checks_no_delete BEFORE DELETE ON rod_checks
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on rod_checks is refused'); END;
CREATE TRIGGER visits_no_update BEFORE UPDATE ON visits
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on visits is refused'); END;
CREATE TRIGGER visits_no_delete BEFORE DELETE ON visits
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on visits is refused'); END;
CREATE TRIGGER laps_no_update BEFORE UPDATE ON laps
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on laps is refused'); END;
CREATE TRIGGER laps_no_delete BEFORE DELETE ON laps
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on laps is refused'); END;
CREATE TRIGGER readings_no_update BEFORE UPDATE ON readings
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on readings is refused'); END;
CREATE TRIGGER readings_no_delete BEFORE DELETE ON readings
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on readings is refused'); END;
CREATE TRIGGER weighings_no_update BEFORE UPDATE ON weighings
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on weighings is refused'); END;
CREATE TRIGGER weighings_no_delete BEFORE DELETE ON weighings
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on weighings is refused'); END;
CREATE TRIGGER looks_no_update BEFORE UPDATE ON looks
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on looks is refused'); END;
CREATE TRIGGER looks_no_delete BEFORE DELETE ON looks
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on looks is refused'); END;
CREATE TRIGGER photos_no_update BEFORE UPDATE ON photos
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on photos is refused'); END;
CREATE TRIGGER photos_no_delete BEFORE DELETE ON photos
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on photos is refused'); END;
CREATE TRIGGER plans_no_update BEFORE UPDATE ON plans
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on plans is refused'); END;
CREATE TRIGGER plans_no_delete BEFORE DELETE ON plans
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on plans is refused'); END;
CREATE TRIGGER turns_no_update BEFORE UPDATE ON turns
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on turns is refused'); END;
CREATE TRIGGER turns_no_delete BEFORE DELETE ON turns
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on turns is refused'); END;
CREATE TRIGGER advices_no_update BEFORE UPDATE ON advices
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on advices is refused'); END;
CREATE TRIGGER advices_no_delete BEFORE DELETE ON advices
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on advices is refused'); END;
CREATE TRIGGER reports_no_update BEFORE UPDATE ON reports
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on reports is refused'); END;
CREATE TRIGGER reports_no_delete BEFORE DELETE ON reports
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on reports is refused'); END;
CREATE TRIGGER settings_no_update BEFORE UPDATE ON settings
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on settings is refused'); END;
CREATE TRIGGER settings_no_delete BEFORE DELETE ON settings
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on settings is refused'); END;
CREATE TRIGGER withdrawals_no_update BEFORE UPDATE ON withdrawals
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: UPDATE on withdrawals is refused'); END;
CREATE TRIGGER withdrawals_no_delete BEFORE DELETE ON withdrawals
    BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: DELETE on withdrawals is refused'); END;
