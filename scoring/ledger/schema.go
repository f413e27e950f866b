package ledger

import (
	"context"
	"database/sql"
	_ "embed" // schema.txt
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
)

// schemaText is what the tables are after all migrations, as TestSchema writes it.
//
//go:embed schema.txt
var schemaText string

// schemaMark parts the statements of schemaText.
const schemaMark = "\n--\n"

// expectedSchema gives the statement of each object of a season's database by its
// kind and name, as in "table half".
var expectedSchema = sync.OnceValue(func() map[string]string {
	out := map[string]string{}
	for _, part := range strings.Split(strings.TrimSuffix(schemaText, schemaMark), schemaMark) {
		key, statement, _ := strings.Cut(part, "\n")
		out[key] = statement
	}
	return out
})

// writeSchema is the text of a schema.
func writeSchema(objects map[string]string) string {
	var b strings.Builder
	for _, key := range slices.Sorted(maps.Keys(objects)) {
		b.WriteString(key + "\n" + objects[key] + schemaMark)
	}
	return b.String()
}

// querier is what reads of a database: it, a connection or a transaction.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
}

// schemaOf gives the objects of a database, without those that SQLite and the
// migrations keep for themselves.
func schemaOf(ctx context.Context, db querier) (map[string]string, error) {
	rows, err := db.QueryContext(ctx, `SELECT type, name, coalesce(sql, '') FROM sqlite_schema
		WHERE NOT (type IN ('table', 'index') AND (name LIKE 'sqlite\_%' ESCAPE '\' OR name = 'goose_db_version'))`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := map[string]string{}
	for rows.Next() {
		var kind, name, statement string
		if err := rows.Scan(&kind, &name, &statement); err != nil {
			return nil, err
		}
		out[kind+" "+name] = statement
	}
	return out, rows.Err()
}

// standing says what the objects of a database allow.
type standing struct {
	odd         []Finding
	read, write error // why it cannot be read or written; nil when it can
}

// compareSchema holds the objects of a database against those there should be.
// What others added to look at figures does no harm; what could change what is
// written or read does.
func compareSchema(name string, got, want map[string]string) standing {
	var st standing
	add := func(what string, reading, writing bool) {
		st.odd = append(st.odd, Finding{databaseName, what, "remove it with the program that made it, or go on with the last backup"})
		err := refuse("%s: %w: %s; see what traystage season check says", name, ErrAltered, what)
		if reading && st.read == nil {
			st.read = err
		}
		if writing && st.write == nil {
			st.write = err
		}
	}
	for _, key := range slices.Sorted(maps.Keys(want)) {
		statement, ok := got[key]
		table := strings.HasPrefix(key, "table ")
		switch {
		case !ok:
			add("the "+key+" is missing", table, true)
		case statement != want[key]:
			add("the "+key+" is not as this program made it", table, true)
		}
	}
	for _, key := range slices.Sorted(maps.Keys(got)) {
		if _, ok := want[key]; !ok {
			add(fmt.Sprintf("there is a %s that this program did not make", key), false, strings.HasPrefix(key, "trigger "))
		}
	}
	return st
}
