-- +goose Up

-- A season's ledger. Rows are only ever added: a change, a correction or
-- another opinion is a new row, and of the rows on one thing the last counts.
-- Triggers at the end refuse everything else.
--
-- at:  when the row was written, RFC 3339, UTC.
-- who: initials of the person who wrote it.
-- Days are YYYY-MM-DD. Lists are JSON. Fractions lie in [0, 1].

PRAGMA application_id = 1414682963; -- "TRYS", by which other databases are told apart

CREATE TABLE block (
  id INTEGER PRIMARY KEY
) STRICT;

CREATE TABLE block_entry (
  id            INTEGER PRIMARY KEY,
  block         INTEGER NOT NULL REFERENCES block (id),
  name          TEXT NOT NULL CHECK (name <> ''),
  variety       TEXT NOT NULL,
  market        TEXT NOT NULL,
  harvest       TEXT,                      -- expected day; NULL when not known
  reference_set TEXT NOT NULL,             -- name; '' for the built-in one
  note          TEXT NOT NULL,
  at            TEXT NOT NULL,
  who           TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX block_entry_of ON block_entry (block, id);

CREATE VIEW current_block AS
  SELECT * FROM block_entry AS e
  WHERE id = (SELECT max(id) FROM block_entry WHERE block = e.block);

CREATE TABLE sample (
  id    INTEGER PRIMARY KEY,
  block INTEGER NOT NULL REFERENCES block (id)
) STRICT;
CREATE INDEX sample_of ON sample (block);

CREATE TABLE sample_entry (
  id      INTEGER PRIMARY KEY,
  sample  INTEGER NOT NULL REFERENCES sample (id),
  picked  TEXT NOT NULL,
  tested  TEXT,                            -- NULL: on the day it was picked
  tester  TEXT NOT NULL,
  wait    INTEGER NOT NULL,                -- from staining to photo, nanoseconds; 0 when not recorded
  note    TEXT NOT NULL,
  at      TEXT NOT NULL,
  who     TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX sample_entry_of ON sample_entry (sample, id);

CREATE VIEW current_sample AS
  SELECT e.*, s.block FROM sample_entry AS e JOIN sample AS s ON s.id = e.sample
  WHERE e.id = (SELECT max(id) FROM sample_entry WHERE sample = e.sample);

-- One photo. It belongs to one sample for good.
CREATE TABLE tray (
  id     INTEGER PRIMARY KEY,
  sample INTEGER NOT NULL REFERENCES sample (id),
  hash   TEXT NOT NULL UNIQUE CHECK (length(hash) = 64), -- SHA-256 of the photo's bytes
  file   TEXT NOT NULL UNIQUE,             -- below photos/, with slashes
  bytes  INTEGER NOT NULL,
  at     TEXT NOT NULL,
  who    TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX tray_of ON tray (sample);

-- One time that a tray was measured and called. The last one counts.
CREATE TABLE scoring (
  id              INTEGER PRIMARY KEY,
  tray            INTEGER NOT NULL REFERENCES tray (id),
  orchard         TEXT NOT NULL,
  block_name      TEXT NOT NULL,           -- as the report of that time had it
  variety         TEXT NOT NULL,
  photo_name      TEXT NOT NULL,
  width           INTEGER NOT NULL,        -- of the upright photo, px
  height          INTEGER NOT NULL,
  taken           TEXT,                    -- by the camera's clock, without zone
  set_name        TEXT NOT NULL,
  set_version     TEXT NOT NULL,
  set_digest      TEXT NOT NULL,
  scale_stained   REAL NOT NULL,           -- stage of an all stained half
  scale_clear     REAL NOT NULL,
  scale_step      REAL NOT NULL,
  calibrated      INTEGER NOT NULL CHECK (calibrated IN (0, 1)),
  stained_density REAL NOT NULL,           -- optical density from which flesh counts as stained
  common_standard REAL NOT NULL,           -- error shared by all stages: standard uncertainty, stages
  common_freedom  REAL NOT NULL,           -- its degrees of freedom; 0 when taken as known
  wanted          REAL NOT NULL,           -- half width of the mean's interval that was asked for, stages
  remarks         TEXT NOT NULL CHECK (json_valid(remarks)),
  halves          INTEGER NOT NULL CHECK (halves > 0),
  program         TEXT NOT NULL CHECK (program <> ''),
  at              TEXT NOT NULL,
  who             TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX scoring_of ON scoring (tray, id);

-- What was measured on one half and called from it; rows in reading order.
CREATE TABLE half (
  id           INTEGER PRIMARY KEY,
  scoring      INTEGER NOT NULL REFERENCES scoring (id),
  number       INTEGER NOT NULL CHECK (number > 0), -- of the fruit in its sample
  stage        REAL NOT NULL,              -- without meaning when clipped or unscored
  low          REAL NOT NULL,              -- 90 % interval
  high         REAL NOT NULL,
  between_from REAL NOT NULL,              -- stages of the two plates that bracket it
  between_to   REAL NOT NULL,
  borderline   INTEGER NOT NULL CHECK (borderline IN (0, 1)),
  worth        REAL NOT NULL,              -- what confirming it may change, stages
  clipped      INTEGER NOT NULL CHECK (clipped IN (0, 1)),
  unscored     TEXT NOT NULL,              -- why it has no stage; '' when it has one
  stained      REAL NOT NULL,              -- fraction of the flesh
  stained_low  REAL,                       -- with the threshold a quarter higher; NULL when not measured
  stained_high REAL,                       -- with the threshold a quarter lower
  masked       REAL NOT NULL,              -- share of the face that is not flesh
  centre_x     REAL NOT NULL,              -- px of the upright photo
  centre_y     REAL NOT NULL,
  radius       REAL NOT NULL,
  zones        TEXT NOT NULL CHECK (json_valid(zones)),
  weights      TEXT NOT NULL CHECK (json_valid(weights)),
  reasons      TEXT NOT NULL CHECK (json_valid(reasons)),
  remarks      TEXT NOT NULL CHECK (json_valid(remarks)),
  UNIQUE (scoring, number)
) STRICT;

-- The edge of a cut face: x and y in px as 64-bit IEEE 754 numbers, least
-- significant byte first. Apart from half, which is read far more often.
CREATE TABLE outline (
  half   INTEGER PRIMARY KEY REFERENCES half (id),
  points BLOB NOT NULL CHECK (length(points) % 16 = 0)
) STRICT;

-- What a person did with a call. The last one counts.
CREATE TABLE review (
  id       INTEGER PRIMARY KEY,
  half     INTEGER NOT NULL REFERENCES half (id),
  override INTEGER NOT NULL CHECK (override IN (0, 1)),
  stage    REAL NOT NULL,                  -- without meaning unless override
  why      TEXT NOT NULL,
  at       TEXT NOT NULL,
  who      TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX review_of ON review (half, id);

-- What was read off one fruit. What a row leaves NULL it says nothing about;
-- of what it names, the last one counts. A struck row takes back all before it.
CREATE TABLE reading (
  id           INTEGER PRIMARY KEY,
  sample       INTEGER NOT NULL REFERENCES sample (id),
  fruit        INTEGER NOT NULL CHECK (fruit > 0),
  struck       INTEGER NOT NULL CHECK (struck IN (0, 1)),
  sides        TEXT CHECK (json_valid(sides)), -- [[force, unit], ...] in the order pressed
  tip          REAL,                       -- mm
  brix         REAL,                       -- as shown
  celsius      REAL,                       -- of the juice
  compensated  INTEGER CHECK (compensated IN (0, 1)),
  red          REAL,                       -- per cent of the skin
  ground       REAL,
  ground_scale TEXT,
  note         TEXT NOT NULL,
  at           TEXT NOT NULL,
  who          TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX reading_of ON reading (sample, fruit, id);

CREATE TABLE instrument_check (
  id         INTEGER PRIMARY KEY,
  instrument TEXT NOT NULL,
  kind       TEXT NOT NULL,
  day        TEXT NOT NULL,                -- RFC 3339
  expected   REAL NOT NULL,
  shown      REAL NOT NULL,
  unit       TEXT NOT NULL,
  at         TEXT NOT NULL,
  who        TEXT NOT NULL CHECK (who <> '')
) STRICT;

-- Whole tables that the grower edits, such as the standards: one row for each
-- version, and the last one of a name counts.
CREATE TABLE sheet (
  id   INTEGER PRIMARY KEY,
  name TEXT NOT NULL CHECK (name <> ''),
  body TEXT NOT NULL,
  at   TEXT NOT NULL,
  who  TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX sheet_of ON sheet (name, id);

-- +goose StatementBegin
CREATE TRIGGER block_no_update BEFORE UPDATE ON block BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER block_no_delete BEFORE DELETE ON block BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER block_entry_no_update BEFORE UPDATE ON block_entry BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER block_entry_no_delete BEFORE DELETE ON block_entry BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sample_no_update BEFORE UPDATE ON sample BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sample_no_delete BEFORE DELETE ON sample BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sample_entry_no_update BEFORE UPDATE ON sample_entry BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sample_entry_no_delete BEFORE DELETE ON sample_entry BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER tray_no_update BEFORE UPDATE ON tray BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER tray_no_delete BEFORE DELETE ON tray BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER scoring_no_update BEFORE UPDATE ON scoring BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER scoring_no_delete BEFORE DELETE ON scoring BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER half_no_update BEFORE UPDATE ON half BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER half_no_delete BEFORE DELETE ON half BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER outline_no_update BEFORE UPDATE ON outline BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER outline_no_delete BEFORE DELETE ON outline BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER review_no_update BEFORE UPDATE ON review BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER review_no_delete BEFORE DELETE ON review BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER reading_no_update BEFORE UPDATE ON reading BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER reading_no_delete BEFORE DELETE ON reading BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER instrument_check_no_update BEFORE UPDATE ON instrument_check BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER instrument_check_no_delete BEFORE DELETE ON instrument_check BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sheet_no_update BEFORE UPDATE ON sheet BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sheet_no_delete BEFORE DELETE ON sheet BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
