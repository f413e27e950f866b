-- +goose Up

-- One row for each transaction: which rows it added, with a digest of them for
-- each table, and a digest of this row that covers the one before. The next
-- migration seals the rows that are there.
CREATE TABLE seal (
  id     INTEGER PRIMARY KEY,
  rows   TEXT NOT NULL CHECK (json_valid(rows)), -- {table: [first, last, SHA-256], ...}
  digest BLOB NOT NULL CHECK (length(digest) = 32),
  at     TEXT NOT NULL
) STRICT;
-- +goose StatementBegin
CREATE TRIGGER seal_no_update BEFORE UPDATE ON seal BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER seal_no_delete BEFORE DELETE ON seal BEGIN
  SELECT RAISE (ABORT, 'what is in the ledger stays as it is: add a row');
END;
-- +goose StatementEnd
