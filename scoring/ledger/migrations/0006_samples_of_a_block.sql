-- +goose Up

-- Samples are looked for by the block they belong to now.
CREATE INDEX sample_entry_in ON sample_entry (block, sample);
