package ledger

import (
	"flag"
	"os"
	"testing"
)

var update = flag.Bool("update", false, "write schema.txt anew")

// schema.txt is what the migrations make.
func TestSchema(t *testing.T) {
	objects, err := schemaAt(t.Context(), tablesVersion)
	if err != nil {
		t.Fatal(err)
	}
	got := writeSchema(objects)
	if *update {
		if err := os.WriteFile("schema.txt", []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if got != schemaText {
		t.Error("schema.txt is not what the migrations make: after a new migration run go test ./scoring/ledger -run TestSchema -update")
	}
}

// A season that was brought up to date has the tables of a new one.
func TestSchemaOfMigratedSeason(t *testing.T) {
	p, err := migrations(newSeason(t).db)
	if err != nil {
		t.Fatal(err)
	}
	sources := p.ListSources()
	if at := sources[len(sources)-1].Version; at != tablesVersion {
		t.Errorf("the newest migration is %d, tablesVersion says %d", at, tablesVersion)
	}
	for _, name := range oldSeasons {
		objects, err := schemaOf(t.Context(), openCopy(t, name).db)
		if err != nil || writeSchema(objects) != schemaText {
			t.Errorf("%s: %v; its tables are others", name, err)
		}
	}
}
