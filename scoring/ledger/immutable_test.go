package ledger

import (
	"strings"
	"testing"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

// fullSeason has at least one row in every table.
func fullSeason(t testing.TB) *Season {
	t.Helper()
	s := newSeason(t)
	store(t, s, trayOf(1, 1, 4), Stored)
	red := 60.0
	_, err := s.AddReadings(t.Context(), "ab", "North 3", picked, instrument.Reading{Fruit: 1, Red: &red})
	for _, err := range []error{
		err,
		s.Review(t.Context(), load(t, s).Trays[0], 1, scoring.Review{By: "ef"}),
		newRound(t.Context(), 0).all(s, func(string, string) {}),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	return s
}

// tables lists the tables that hold what people and programs wrote.
func tables(t *testing.T, s *Season) (names []string) {
	t.Helper()
	rows, err := s.db.Query("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name NOT LIKE 'goose_%'")
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	for rows.Next() {
		var name string
		if err := rows.Scan(&name); err != nil {
			t.Fatal(err)
		}
		names = append(names, name)
	}
	return names
}

func TestNothingIsChangedOrDeleted(t *testing.T) {
	s := fullSeason(t)
	names := tables(t, s)
	if len(names) != 24 {
		t.Errorf("%d tables: %v", len(names), names)
	}
	for _, table := range names {
		before := count(t, s, table)
		if before == 0 {
			t.Errorf("%s: no row, so the test tells nothing", table)
		}
		for _, statement := range []string{
			"UPDATE %s SET rowid = rowid + 1000",
			"DELETE FROM %s",
			"INSERT OR REPLACE INTO %s SELECT * FROM %[1]s",
		} {
			statement = strings.ReplaceAll(strings.ReplaceAll(statement, "%[1]s", table), "%s", table)
			_, err := s.db.Exec(statement)
			if err == nil || !strings.Contains(err.Error(), "stays as it is") {
				t.Errorf("%s: %v", statement, err)
			}
		}
		if after := count(t, s, table); after != before {
			t.Errorf("%s: %d rows became %d", table, before, after)
		}
	}
}

// SQLite itself is asked whether what the package relies on is switched on.
func TestSettings(t *testing.T) {
	s := newSeason(t)
	for pragma, want := range map[string]string{
		"journal_mode": "wal", "foreign_keys": "1", "synchronous": "2", "busy_timeout": "10000",
		"recursive_triggers": "1", "trusted_schema": "0", "application_id": "1414682963",
	} {
		var got string
		if err := s.db.QueryRow("PRAGMA " + pragma).Scan(&got); err != nil || got != want {
			t.Errorf("%s is %s, %v; want %s", pragma, got, err, want)
		}
	}
	rows := 0
	if err := s.db.QueryRow("SELECT count(*) FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND name NOT LIKE 'sqlite_%' AND name NOT LIKE 'goose_%' AND NOT strict").Scan(&rows); err != nil || rows != 0 {
		t.Errorf("%d tables are not strict, %v", rows, err)
	}
}
