package ledger

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"

	"github.com/pressly/goose/v3"
)

//go:embed migrations/*.sql
var migrationFiles embed.FS

// applicationID marks a database as a season's: "TRYS". The first migration
// writes it.
const applicationID = 0x54525953

// migrate brings the tables up to date. name is what errors call the file.
func migrate(ctx context.Context, db *sql.DB, name string) error {
	files, err := fs.Sub(migrationFiles, "migrations")
	if err != nil {
		return err
	}
	p, err := goose.NewProvider(goose.DialectSQLite3, db, files, goose.WithDisableGlobalRegistry(true))
	if err != nil {
		return err
	}
	sources := p.ListSources()
	newest := sources[len(sources)-1].Version
	at, err := versionOf(ctx, db)
	switch {
	case err != nil:
		return databaseError(name, err)
	case at > newest:
		return fmt.Errorf("%s: %w (its tables are version %d, this program knows %d); use the newer program", name, ErrNewer, at, newest)
	case at == newest:
		return nil
	}
	_, failed := p.Up(ctx)
	if failed == nil {
		return nil
	}
	// Another program may have been doing the same.
	if at, err := versionOf(ctx, db); err == nil && at == newest {
		return nil
	}
	return databaseError(name, failed)
}

// versionOf is the version of the tables: 0 in an empty database, an error in
// one that is not a season's.
func versionOf(ctx context.Context, db *sql.DB) (int64, error) {
	var id, tables int64
	err := db.QueryRowContext(ctx, "SELECT application_id, (SELECT count(*) FROM sqlite_schema) FROM pragma_application_id").Scan(&id, &tables)
	switch {
	case err != nil:
		return 0, err
	case tables == 0:
		return 0, nil
	case id != applicationID:
		return 0, fmt.Errorf("%w: it belongs to another program", ErrNotSeason)
	}
	var at int64
	err = db.QueryRowContext(ctx, "SELECT max(version_id) FROM goose_db_version WHERE is_applied").Scan(&at)
	return at, err
}
