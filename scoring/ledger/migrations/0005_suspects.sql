-- +goose Up

-- Places that may hold a half and have no number, as a JSON list; NULL in
-- scorings of programs that did not tell them.
ALTER TABLE scoring ADD COLUMN suspects TEXT CHECK (json_valid(suspects));
