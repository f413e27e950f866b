package ledger

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"
	"time"

	"github.com/pressly/goose/v3"
)

// Migrations add tables, and columns that are NULL in the rows that are there.
// They change nothing in those rows: from version 4 on each has its seal.
//
//go:embed migrations/*.sql
var migrationFiles embed.FS

// tablesVersion is the version of the newest migration.
const tablesVersion = 6

// applicationID marks a database as a season's: "TRYS". The first migration
// writes it.
const applicationID = 0x54525953

func migrations(db *sql.DB) (*goose.Provider, error) {
	files, err := fs.Sub(migrationFiles, "migrations")
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(goose.DialectSQLite3, db, files, goose.WithDisableGlobalRegistry(true), goose.WithGoMigrations(
		goose.NewGoMigration(4, &goose.GoFunc{RunTx: func(ctx context.Context, tx *sql.Tx) error {
			return sealAll(writer{reader{ctx, tx}, stamp(time.Now()), new(added)})
		}}, nil)))
}

// migrate brings the tables of a season up to date. name is what errors call the
// file. Tables that are not as their version had them are left alone.
func migrate(ctx context.Context, db *sql.DB, name string) error {
	at, err := versionOf(ctx, db)
	switch {
	case err != nil:
		return databaseError(name, err)
	case at > tablesVersion:
		return fmt.Errorf("%s: %w (its tables are version %d, this program knows %d); use the newer program", name, ErrNewer, at, tablesVersion)
	case at == tablesVersion:
		return nil
	}
	if at > 0 {
		want, err := schemaAt(ctx, at)
		if err != nil {
			return err
		}
		got, err := schemaOf(ctx, db)
		if err != nil {
			return databaseError(name, err)
		}
		if st := compareSchema(name, got, want); st.write != nil {
			return st.write
		}
	}
	p, err := migrations(db)
	if err != nil {
		return err
	}
	_, failed := p.Up(ctx)
	if failed == nil {
		return nil
	}
	// Another program may have been doing the same.
	if at, err := versionOf(ctx, db); err == nil && at == tablesVersion {
		return nil
	}
	return databaseError(name, failed)
}

// schemaAt is the schema of an earlier version.
func schemaAt(ctx context.Context, version int64) (map[string]string, error) {
	db, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		return nil, err
	}
	defer db.Close()
	db.SetMaxOpenConns(1) // each connection would have a memory of its own
	p, err := migrations(db)
	if err != nil {
		return nil, err
	}
	if _, err := p.UpTo(ctx, version); err != nil {
		return nil, err
	}
	return schemaOf(ctx, db)
}

// versionOf is the version of the tables: 0 in an empty database, an error in
// one that is not a season's.
func versionOf(ctx context.Context, db *sql.DB) (int64, error) {
	var id, tables, book int64
	err := db.QueryRowContext(ctx, `SELECT application_id, (SELECT count(*) FROM sqlite_schema),
		(SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = 'goose_db_version') FROM pragma_application_id`).Scan(&id, &tables, &book)
	switch {
	case err != nil:
		return 0, err
	case tables == 0 && id == 0:
		return 0, nil
	case id != applicationID:
		return 0, fmt.Errorf("%w: it belongs to another program", ErrNotSeason)
	case book == 0:
		return 0, fmt.Errorf("%w: its tables are gone", ErrNotSeason)
	}
	var at sql.NullInt64
	err = db.QueryRowContext(ctx, "SELECT max(version_id) FROM goose_db_version WHERE is_applied").Scan(&at)
	if err == nil && at.Int64 < 1 {
		err = fmt.Errorf("%w: its tables are gone", ErrNotSeason)
	}
	return at.Int64, err
}
