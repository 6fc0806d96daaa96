-- The first ledger: entries, the tables of their kinds, and aids to find them.
--
-- An entry's head stands in `entry`, its content in the table of its kind under the same id. Nothing in these
-- tables is ever changed or deleted: a correction is an entry that supersedes another.
-- Ids are UUIDs of version 7 in their sixteen bytes; moments are microseconds of UTC since 1970.

CREATE TABLE entry (
    "id" BYTEA NOT NULL PRIMARY KEY,
    "kind" TEXT COLLATE "C" NOT NULL,
    "thing" BYTEA NOT NULL REFERENCES entry ("id"),      -- the first entry about the same thing
    "about" BYTEA REFERENCES entry ("id"),               -- the thing this is about
    "at" BIGINT NOT NULL,
    "zone" TEXT COLLATE "C" NOT NULL,
    "by_whom" TEXT COLLATE "C" NOT NULL,
    "origin" TEXT COLLATE "C" NOT NULL,
    "supersedes" BYTEA REFERENCES entry ("id"),
    "why" TEXT COLLATE "C",
    CHECK (("supersedes" IS NULL) = ("why" IS NULL)),
    CHECK (("supersedes" IS NULL) = ("thing" = "id"))
);

CREATE UNIQUE INDEX entry_superseded_once ON entry ("supersedes") WHERE "supersedes" IS NOT NULL;
CREATE INDEX entry_later_versions ON entry ("thing", "id") WHERE "supersedes" IS NOT NULL;
CREATE INDEX entry_about ON entry ("about", "id") WHERE "about" IS NOT NULL;
CREATE INDEX entry_about_nothing ON entry ("kind", "id") WHERE "about" IS NULL;
CREATE INDEX entry_demo ON entry ("id") WHERE "origin" = 'demo' AND "about" IS NULL;

CREATE TABLE mechanics (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "name" TEXT COLLATE "C" NOT NULL,
    "initials" TEXT COLLATE "C" NOT NULL,
    "note" TEXT COLLATE "C"
);

CREATE TABLE wheels (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "label" TEXT COLLATE "C" NOT NULL,
    "name" TEXT COLLATE "C" NOT NULL,
    "owner" TEXT COLLATE "C",
    "contact" TEXT COLLATE "C",
    "file" TEXT COLLATE "C" NOT NULL,
    "note" TEXT COLLATE "C"
);

CREATE TABLE parts (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "wheel" BYTEA NOT NULL REFERENCES entry ("id"),
    "what" TEXT COLLATE "C" NOT NULL,
    "maker" TEXT COLLATE "C",
    "model" TEXT COLLATE "C",
    "lot" TEXT COLLATE "C",
    "serial" TEXT COLLATE "C",
    "note" TEXT COLLATE "C"
);

CREATE TABLE limits (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "about" BYTEA NOT NULL REFERENCES entry ("id"),
    "part" TEXT COLLATE "C" NOT NULL,
    "quantity" TEXT COLLATE "C" NOT NULL,
    "value" DOUBLE PRECISION NOT NULL,
    "unit" TEXT COLLATE "C" NOT NULL,
    "state" TEXT COLLATE "C",
    "side" TEXT COLLATE "C",
    "spoke_kind" TEXT COLLATE "C",
    "source" TEXT COLLATE "C" NOT NULL,
    "noted" TEXT COLLATE "C" NOT NULL
);

CREATE TABLE claims (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "about" BYTEA NOT NULL REFERENCES entry ("id"),
    "text" TEXT COLLATE "C" NOT NULL,
    "quantity" TEXT COLLATE "C" NOT NULL,
    "at_most" DOUBLE PRECISION,
    "at_least" DOUBLE PRECISION,
    "of_what" TEXT COLLATE "C",
    "dress" TEXT COLLATE "C",
    "source" TEXT COLLATE "C"
);

CREATE TABLE gauges (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "label" TEXT COLLATE "C" NOT NULL,
    "file" TEXT COLLATE "C" NOT NULL,
    "note" TEXT COLLATE "C"
);

CREATE TABLE rigs (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "name" TEXT COLLATE "C" NOT NULL,
    "note" TEXT COLLATE "C"
);

CREATE TABLE calibrations (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "gauge" BYTEA NOT NULL REFERENCES entry ("id"),
    "spoke_kind" TEXT COLLATE "C" NOT NULL,
    "batch" TEXT COLLATE "C",
    "taken" BIGINT NOT NULL,
    "taken_zone" TEXT COLLATE "C" NOT NULL,
    "operator" TEXT COLLATE "C",
    "temperature_c" DOUBLE PRECISION,
    "rig" BYTEA REFERENCES entry ("id"),
    "note" TEXT COLLATE "C"
);

CREATE TABLE points (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "calibration" BYTEA NOT NULL REFERENCES entry ("id"),
    "number" BIGINT NOT NULL,
    "raw_reading" TEXT COLLATE "C" NOT NULL,
    "reading" DOUBLE PRECISION NOT NULL,
    "raw_force" TEXT COLLATE "C" NOT NULL,
    "force_n" DOUBLE PRECISION NOT NULL,
    "direction" TEXT COLLATE "C",
    "u_reading" DOUBLE PRECISION,
    "u_force_n" DOUBLE PRECISION
);

CREATE TABLE rod_checks (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "gauge" BYTEA NOT NULL REFERENCES entry ("id"),
    "raw" TEXT COLLATE "C" NOT NULL,
    "reading" DOUBLE PRECISION NOT NULL,
    "expected" DOUBLE PRECISION NOT NULL,
    "tolerance" DOUBLE PRECISION NOT NULL,
    "temperature_c" DOUBLE PRECISION,
    "note" TEXT COLLATE "C"
);

CREATE TABLE visits (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "wheel" BYTEA NOT NULL REFERENCES entry ("id"),
    "taken" BIGINT NOT NULL,
    "taken_zone" TEXT COLLATE "C" NOT NULL,
    "asked" TEXT COLLATE "C",
    "bearing" TEXT COLLATE "C",
    "not_checked" TEXT COLLATE "C" NOT NULL,
    "note" TEXT COLLATE "C"
);

CREATE TABLE laps (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BYTEA NOT NULL REFERENCES entry ("id"),
    "takes" TEXT COLLATE "C" NOT NULL,
    "state" TEXT COLLATE "C" NOT NULL,
    "gauge" BYTEA REFERENCES entry ("id"),
    "calibration" BYTEA REFERENCES entry ("id"),
    "face" TEXT COLLATE "C",
    "start" BIGINT NOT NULL,
    "counted" TEXT COLLATE "C" NOT NULL,
    "tyre" TEXT COLLATE "C",
    "raw_pressure" TEXT COLLATE "C",
    "pressure_pa" DOUBLE PRECISION,
    "temperature_c" DOUBLE PRECISION,
    "note" TEXT COLLATE "C"
);

CREATE TABLE readings (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "lap" BYTEA NOT NULL REFERENCES entry ("id"),
    "number" BIGINT NOT NULL,
    "spoke" BIGINT,
    "angle_deg" DOUBLE PRECISION,
    "outcome" TEXT COLLATE "C" NOT NULL,
    "raw" TEXT COLLATE "C" NOT NULL,
    "value" DOUBLE PRECISION
);

CREATE TABLE weighings (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BYTEA NOT NULL REFERENCES entry ("id"),
    "dress" TEXT COLLATE "C" NOT NULL,
    "raw" TEXT COLLATE "C" NOT NULL,
    "mass_g" DOUBLE PRECISION NOT NULL,
    "step_g" DOUBLE PRECISION
);

CREATE TABLE looks (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BYTEA NOT NULL REFERENCES entry ("id"),
    "spoke" BIGINT,
    "finding" TEXT COLLATE "C" NOT NULL,
    "photo" TEXT COLLATE "C"
);

CREATE TABLE photos (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BYTEA NOT NULL REFERENCES entry ("id"),
    "hash" TEXT COLLATE "C" NOT NULL,
    "media_type" TEXT COLLATE "C" NOT NULL,
    "length" BIGINT NOT NULL,
    "caption" TEXT COLLATE "C"
);

CREATE TABLE plans (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BYTEA NOT NULL REFERENCES entry ("id"),
    "text" TEXT COLLATE "C" NOT NULL
);

CREATE TABLE turns (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "about" BYTEA NOT NULL REFERENCES entry ("id"),
    "spoke" BIGINT NOT NULL,
    "turns" DOUBLE PRECISION NOT NULL,
    "state" TEXT COLLATE "C" NOT NULL
);

CREATE TABLE advices (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BYTEA NOT NULL REFERENCES entry ("id"),
    "text" TEXT COLLATE "C" NOT NULL,
    "answer" TEXT COLLATE "C" NOT NULL,
    "reply" TEXT COLLATE "C"
);

CREATE TABLE reports (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "visit" BYTEA NOT NULL REFERENCES entry ("id"),
    "hash" TEXT COLLATE "C" NOT NULL,
    "title" TEXT COLLATE "C" NOT NULL
);

CREATE TABLE settings (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "key" TEXT COLLATE "C" NOT NULL,
    "value" TEXT COLLATE "C" NOT NULL
);

CREATE TABLE withdrawals (
    "id" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "of" BYTEA NOT NULL REFERENCES entry ("id"),
    "standing" TEXT COLLATE "C" NOT NULL
);

CREATE INDEX visits_taken ON visits ("taken", "id");
CREATE INDEX laps_gauge ON laps ("gauge", "id") WHERE "gauge" IS NOT NULL;

-- Aids to find things. They follow from the entries and could be made anew from them at any time.

CREATE TABLE find_labels (
    "label" TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    "wheel" BYTEA NOT NULL REFERENCES entry ("id")
);

CREATE TABLE find_words (
    "word" TEXT COLLATE "C" NOT NULL,
    "wheel" BYTEA NOT NULL REFERENCES entry ("id"),
    "entry" BYTEA NOT NULL REFERENCES entry ("id"),
    PRIMARY KEY ("word", "wheel", "entry")
);
CREATE INDEX find_words_of_wheel ON find_words ("wheel", "word");

CREATE TABLE find_parts (
    "entry" BYTEA NOT NULL PRIMARY KEY REFERENCES entry ("id"),
    "maker" TEXT COLLATE "C" NOT NULL,                             -- empty where it is not known
    "lot" TEXT COLLATE "C" NOT NULL,
    "serial" TEXT COLLATE "C" NOT NULL
);
CREATE INDEX find_parts_lot ON find_parts ("maker", "lot");
CREATE INDEX find_parts_serial ON find_parts ("maker", "serial");

-- The bytes of photos and reports, by their hash. With SQLite they are files beside the database.
CREATE TABLE kept (
    "hash" TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    "bytes" BYTEA NOT NULL
);

CREATE FUNCTION append_only() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'the ledger is append-only: % on % is refused', TG_OP, TG_TABLE_NAME
        USING ERRCODE = 'integrity_constraint_violation';
END
$$;

CREATE TRIGGER entry_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON entry
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER mechanics_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON mechanics
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER wheels_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON wheels
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER parts_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON parts
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER limits_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON limits
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER claims_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON claims
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER gauges_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON gauges
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER rigs_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON rigs
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER calibrations_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON calibrations
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER points_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON points
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER rod_checks_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON rod_checks
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER visits_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON visits
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER laps_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON laps
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER readings_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON readings
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER weighings_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON weighings
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER looks_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON looks
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER photos_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON photos
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER plans_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON plans
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER turns_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON turns
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER advices_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON advices
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER reports_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON reports
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER settings_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON settings
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER withdrawals_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON withdrawals
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER kept_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON kept
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
