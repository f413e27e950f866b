-- +goose Up

-- Whatever a person enters can be taken back, moved or corrected, again by rows
-- that are added. Columns added to earlier tables are NULL in earlier rows, and
-- NULL means what those rows meant.

-- The program asks for what counts now in words of its own.
DROP VIEW current_block;
DROP VIEW current_sample;

-- A block that is no longer followed, or followed again. The last row counts.
CREATE TABLE block_retired (
  id      INTEGER PRIMARY KEY,
  block   INTEGER NOT NULL REFERENCES block (id),
  retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
  why     TEXT NOT NULL,
  at      TEXT NOT NULL,
  who     TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX block_retired_of ON block_retired (block, id);

-- Fruit of a block that were picked. A row that undoes another takes that back.
CREATE TABLE pick (
  id          INTEGER PRIMARY KEY,
  block       INTEGER NOT NULL REFERENCES block (id),
  day         TEXT NOT NULL,
  part        INTEGER NOT NULL CHECK (part IN (0, 1)), -- 1: more of the block is still to be picked
  bins        REAL,                        -- NULL when not counted
  destination TEXT NOT NULL,
  note        TEXT NOT NULL,
  undoes      INTEGER REFERENCES pick (id), -- then all before it repeats that pick, and the note says why
  at          TEXT NOT NULL,
  who         TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX pick_of ON pick (block, id);

ALTER TABLE sample_entry ADD COLUMN block INTEGER REFERENCES block (id); -- NULL: the one the sample was made in
-- NULL: it counts. waiting: readings without a tray yet. struck: taken back.
-- merged: its trays and readings went into another sample.
ALTER TABLE sample_entry ADD COLUMN state TEXT CHECK (state IN ('waiting', 'struck', 'merged'));
ALTER TABLE sample_entry ADD COLUMN merged INTEGER REFERENCES sample (id);
ALTER TABLE sample_entry ADD COLUMN why TEXT;

-- Which sample a tray belongs to, and whether it counts. The last row counts;
-- what tray.sample says is where it was first.
CREATE TABLE tray_entry (
  id     INTEGER PRIMARY KEY,
  tray   INTEGER NOT NULL REFERENCES tray (id),
  sample INTEGER NOT NULL REFERENCES sample (id),
  struck INTEGER NOT NULL CHECK (struck IN (0, 1)),
  why    TEXT NOT NULL,
  at     TEXT NOT NULL,
  who    TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX tray_entry_of ON tray_entry (tray, id);
CREATE INDEX tray_entry_in ON tray_entry (sample, tray);
INSERT INTO tray_entry (tray, sample, struck, why, at, who)
  SELECT id, sample, 0, '', at, who FROM tray ORDER BY id;

-- NULL: measured. numbered: the halves of the scoring before under other
-- numbers. revised: halves of it struck, or others added by hand.
ALTER TABLE scoring ADD COLUMN origin TEXT CHECK (origin IN ('numbered', 'revised'));
ALTER TABLE scoring ADD COLUMN why TEXT;
ALTER TABLE half ADD COLUMN by_hand INTEGER CHECK (by_hand IN (0, 1)); -- NULL: found by the program

-- 1: takes back the review before. What counts from then on is in the row's
-- other columns where origin is not NULL, else no review does.
ALTER TABLE review ADD COLUMN undone INTEGER CHECK (undone IN (0, 1));
ALTER TABLE review ADD COLUMN origin INTEGER REFERENCES review (id); -- the review that this one repeats, whose time and initials hold

-- What was entered at one go: a sheet, or readings by hand.
CREATE TABLE batch (
  id     INTEGER PRIMARY KEY,
  sample INTEGER NOT NULL REFERENCES sample (id), -- which it was entered for
  source TEXT NOT NULL,                    -- name of the file; '' by hand
  at     TEXT NOT NULL,
  who    TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX batch_of ON batch (sample);

-- Where a batch was moved to, or that it was taken back. The last row counts.
CREATE TABLE batch_entry (
  id     INTEGER PRIMARY KEY,
  batch  INTEGER NOT NULL REFERENCES batch (id),
  sample INTEGER NOT NULL REFERENCES sample (id),
  shift  INTEGER NOT NULL,                 -- to be added to the numbers of its fruit
  struck INTEGER NOT NULL CHECK (struck IN (0, 1)),
  why    TEXT NOT NULL,
  at     TEXT NOT NULL,
  who    TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX batch_entry_of ON batch_entry (batch, id);
CREATE INDEX batch_entry_in ON batch_entry (sample, batch);

-- Earlier readings that were written at one time were entered at one go.
ALTER TABLE reading ADD COLUMN batch INTEGER REFERENCES batch (id);
INSERT INTO batch (sample, source, at, who)
  SELECT sample, '', at, who FROM reading GROUP BY sample, at, who ORDER BY min(id);
DROP TRIGGER reading_no_update;
UPDATE reading SET batch =
  (SELECT b.id FROM batch AS b WHERE b.sample = reading.sample AND b.at = reading.at AND b.who = reading.who);
-- +goose StatementBegin
CREATE TRIGGER reading_no_update BEFORE UPDATE ON reading BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
CREATE INDEX reading_in ON reading (batch);

-- Checks of instruments that were taken back. The last row counts.
CREATE TABLE check_entry (
  id               INTEGER PRIMARY KEY,
  instrument_check INTEGER NOT NULL REFERENCES instrument_check (id),
  struck           INTEGER NOT NULL CHECK (struck IN (0, 1)),
  why              TEXT NOT NULL,
  at               TEXT NOT NULL,
  who              TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX check_entry_of ON check_entry (instrument_check, id);

-- What holds for the season until it is set otherwise. The last row counts.
CREATE TABLE setting (
  id    INTEGER PRIMARY KEY,
  name  TEXT NOT NULL CHECK (name <> ''),
  block INTEGER REFERENCES block (id),     -- NULL: of the whole season
  year  INTEGER NOT NULL,                  -- 0: of no certain year
  value TEXT,                              -- NULL: no longer set
  at    TEXT NOT NULL,
  who   TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX setting_of ON setting (name, id);

-- Devices that may use the desk. Of the rows of device_entry the last counts.
CREATE TABLE device (
  id    INTEGER PRIMARY KEY,
  token TEXT NOT NULL UNIQUE CHECK (token <> '') -- digest of what the device shows
) STRICT;
CREATE TABLE device_entry (
  id      INTEGER PRIMARY KEY,
  device  INTEGER NOT NULL REFERENCES device (id),
  name    TEXT NOT NULL,
  role    TEXT NOT NULL,
  revoked INTEGER NOT NULL CHECK (revoked IN (0, 1)),
  why     TEXT NOT NULL,
  at      TEXT NOT NULL,
  who     TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX device_entry_of ON device_entry (device, id);

-- What was written although the program objected.
CREATE TABLE insisted (
  id         INTEGER PRIMARY KEY,
  of_table   TEXT NOT NULL,                -- the first row that was written so
  of_row     INTEGER NOT NULL,
  objections TEXT NOT NULL CHECK (json_valid(objections)),
  why        TEXT NOT NULL CHECK (why <> ''),
  at         TEXT NOT NULL,
  who        TEXT NOT NULL CHECK (who <> '')
) STRICT;
CREATE INDEX insisted_of ON insisted (of_table, of_row);

-- Sendings that were carried out, so that none is twice.
CREATE TABLE sending (
  id     INTEGER PRIMARY KEY,
  name   TEXT NOT NULL UNIQUE CHECK (name <> ''), -- chosen by the sender
  verb   TEXT NOT NULL,
  answer TEXT NOT NULL CHECK (json_valid(answer)),
  at     TEXT NOT NULL,
  who    TEXT NOT NULL CHECK (who <> '')
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER block_retired_no_update BEFORE UPDATE ON block_retired BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER block_retired_no_delete BEFORE DELETE ON block_retired BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER pick_no_update BEFORE UPDATE ON pick BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER pick_no_delete BEFORE DELETE ON pick BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER tray_entry_no_update BEFORE UPDATE ON tray_entry BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER tray_entry_no_delete BEFORE DELETE ON tray_entry BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER batch_no_update BEFORE UPDATE ON batch BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER batch_no_delete BEFORE DELETE ON batch BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER batch_entry_no_update BEFORE UPDATE ON batch_entry BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER batch_entry_no_delete BEFORE DELETE ON batch_entry BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER check_entry_no_update BEFORE UPDATE ON check_entry BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER check_entry_no_delete BEFORE DELETE ON check_entry BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER setting_no_update BEFORE UPDATE ON setting BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER setting_no_delete BEFORE DELETE ON setting BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER device_no_update BEFORE UPDATE ON device BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER device_no_delete BEFORE DELETE ON device BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER device_entry_no_update BEFORE UPDATE ON device_entry BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER device_entry_no_delete BEFORE DELETE ON device_entry BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER insisted_no_update BEFORE UPDATE ON insisted BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER insisted_no_delete BEFORE DELETE ON insisted BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sending_no_update BEFORE UPDATE ON sending BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sending_no_delete BEFORE DELETE ON sending BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
