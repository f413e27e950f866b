package ledger

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/vision/note"
)

// TestMain lets the test binary also be the other program that tests of two
// programs need.
func TestMain(m *testing.M) {
	if work := os.Getenv(childWork); work != "" {
		os.Exit(beChild(work))
	}
	os.Exit(m.Run())
}

var picked = time.Date(2026, 9, 14, 0, 0, 0, 0, time.UTC)

// newSeason makes a season with block "North 3" and a sample picked on picked.
// Its clock stands at eight and goes on by a second a look.
func newSeason(t testing.TB) *Season {
	t.Helper()
	s, err := Create(t.Context(), filepath.Join(t.TempDir(), "larkfield"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	now := picked.Add(8 * time.Hour)
	s.Now = func() time.Time { now = now.Add(time.Second); return now }
	addSample(t, s, "North 3", picked)
	return s
}

func addSample(t testing.TB, s *Season, block string, picked time.Time) {
	t.Helper()
	err := s.AddBlock(t.Context(), "ab", scoring.Block{Name: block, Variety: "Gala", Market: "long store"})
	if err != nil && !errors.Is(err, ErrTaken) {
		t.Fatal(err)
	}
	if err := s.AddSample(t.Context(), "ab", scoring.Sample{Block: block, Picked: picked, Tester: "cd"}); err != nil {
		t.Fatal(err)
	}
}

// photoOf makes bytes that stand for a photo.
func photoOf(seed, size int) []byte {
	photo := make([]byte, size)
	rand.NewChaCha8([32]byte{byte(seed), byte(seed >> 8), byte(seed >> 16)}).Read(photo)
	return photo
}

// trayOf makes a tray of n halves numbered from first, on a set that comes with the program:
// the season need not hold it.
func trayOf(seed, first, n int) Tray {
	rng := rand.New(rand.NewPCG(uint64(seed), 2))
	photo := photoOf(seed, 4000)
	r := scoring.Report{
		Orchard: "Larkfield", Block: "North 3", Variety: "Gala",
		Photo: fmt.Sprintf("IMG_%04d.JPG", seed), PhotoHash: hashOf(photo), Width: 4000, Height: 3000,
		Taken: picked.Add(8*time.Hour + 31*time.Minute),
		Reference: scoring.Reference{
			Name: "builtin-gala", Version: "2", Scale: calibrate.Scale{Stained: 1, Clear: 8, Step: 0.1}, StainedDensity: 0.2,
			Common: scoring.Common{Standard: 0.1},
		},
		Remarks: []note.Note{note.New("photo.dark")},
		Program: "traystage 0.1.0",
	}
	margins := map[int]Margin{}
	for i := range n {
		f := halfOf(rng, first+i)
		margins[f.Number] = Margin{f.Stained - 0.01, f.Stained + 0.01}
		r.Fruit = append(r.Fruit, f)
	}
	r.Summary = scoring.Summarize(r.Fruit, r.Reference, 0)
	return Tray{Block: "North 3", Picked: picked, By: "ab", Photo: photo, Report: r, SetDigest: hashOf([]byte("gala 2")), Margins: margins}
}

func halfOf(rng *rand.Rand, number int) scoring.Fruit {
	stage := 3 + 2*rng.Float64()
	f := scoring.Fruit{
		Number:  number,
		Call:    calibrate.Call{Stage: stage, Low: stage - 0.3, High: stage + 0.3, Between: [2]float64{3, 4}},
		Stained: rng.Float64(), Masked: rng.Float64() / 4,
		Place: scoring.Place{Centre: scoring.Point{4000 * rng.Float64(), 3000 * rng.Float64()}, Radius: 200 + rng.Float64()},
	}
	for range 5 {
		f.Zones = append(f.Zones, rng.Float64())
		f.Weights = append(f.Weights, rng.Float64())
	}
	for range 120 {
		f.Place.Outline = append(f.Place.Outline, scoring.Point{4000 * rng.Float64(), 3000 * rng.Float64()})
	}
	if number%4 == 0 {
		f.Call.Borderline, f.Call.Reasons = true, []note.Note{note.New("photo.glare"), note.New(calibrate.CallStraddles, note.Stage("target", 3.5))}
		f.Remarks = []note.Note{note.New("photo.glare")}
	}
	return f
}

// store stores a tray and fails the test unless it ends as wanted.
func store(t testing.TB, s *Season, tray Tray, want Outcome) {
	t.Helper()
	got, err := s.StoreTray(t.Context(), tray)
	if err != nil || got.Outcome != want {
		t.Fatalf("%s: %q, %v; want %q", tray.Report.Photo, got.Outcome, err, want)
	}
}

// load gives the only sample of North 3.
func load(t testing.TB, s *Season) scoring.Sample {
	t.Helper()
	samples, err := s.Load(t.Context(), "North 3")
	if err != nil || len(samples) != 1 {
		t.Fatalf("%d samples, %v", len(samples), err)
	}
	return samples[0]
}

// count counts the rows of a table.
func count(t testing.TB, s *Season, table string) (n int) {
	t.Helper()
	if err := s.db.QueryRow("SELECT count(*) FROM " + table).Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

// wantError fails unless err is of a kind, if one is given, and says all words.
func wantError(t *testing.T, err, kind error, words ...string) {
	t.Helper()
	if err == nil || kind != nil && !errors.Is(err, kind) {
		t.Errorf("got %v, want one that is %v", err, kind)
		return
	}
	for _, w := range words {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("%v\nlacks %q", err, w)
		}
	}
}

func TestCreateRefuses(t *testing.T) {
	s := newSeason(t)
	_, err := Create(t.Context(), s.Dir())
	wantError(t, err, nil, s.Dir(), "is a season already")

	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "photos"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "photos", "mine.jpg"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	_, err = Create(t.Context(), dir)
	wantError(t, err, nil, "photos", "holds files already")

	file := filepath.Join(dir, "photos", "mine.jpg")
	_, err = Create(t.Context(), file)
	wantError(t, err, nil, file)
}

// A season can be made in a folder that exists, such as a stick's.
func TestCreateInFolder(t *testing.T) {
	dir := t.TempDir()
	s, err := Create(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	s.Close()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if got := strings.Join(names, " "); got != "photos refs season.db" {
		t.Errorf("a new season holds %s", got)
	}
}

func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	_, err := Open(t.Context(), dir)
	wantError(t, err, ErrNotSeason, dir, "season.db", "name the folder")

	// A database of another program.
	path := filepath.Join(dir, databaseName)
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("CREATE TABLE notes (text TEXT)"); err != nil {
		t.Fatal(err)
	}
	db.Close()
	_, err = Open(t.Context(), dir)
	wantError(t, err, ErrNotSeason, path, "another program")

	os.Remove(path)
	if err := os.Mkdir(path, 0o755); err != nil {
		t.Fatal(err)
	}
	_, err = Open(t.Context(), dir)
	wantError(t, err, ErrNotSeason, "not a file")
}

func TestOpenRefusesNewerTables(t *testing.T) {
	s := newSeason(t)
	if _, err := s.db.Exec("INSERT INTO goose_db_version (version_id, is_applied) VALUES (99, 1)"); err != nil {
		t.Fatal(err)
	}
	s.Close()
	_, err := Open(t.Context(), s.Dir())
	wantError(t, err, ErrNewer, "season.db", "version 99", "use the newer program")
}

// What a folder is called must not matter to SQLite's file names.
func TestOddFolderNames(t *testing.T) {
	for _, name := range []string{"Larkfield 2026", "a?b=c", "50% off", "#1", "ä'ö\"", "mode=ro&x"} {
		dir := filepath.Join(t.TempDir(), name)
		s, err := Create(t.Context(), dir)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		s.Close()
		if s, err = Open(t.Context(), dir); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		addSample(t, s, "North 3", picked)
		if _, err := s.Backup(t.Context(), dir+" copy"); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		s.Close()
	}
}

func TestStopped(t *testing.T) {
	s := newSeason(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := s.StoreTray(ctx, trayOf(1, 1, 3)); !errors.Is(err, context.Canceled) {
		t.Errorf("store: %v", err)
	}
	if _, err := s.LoadAll(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("load: %v", err)
	}
	if found, err := s.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("after a stop: %v, %v", found, err)
	}
}

// A tray brings its sample along; a tray that is refused leaves none behind.
func TestTrayAddsItsSample(t *testing.T) {
	s := newSeason(t)
	first := trayOf(1, 1, 3)
	store(t, s, first, Stored)
	again := first
	again.Picked = first.Picked.AddDate(0, 0, 1)
	again.Head = &scoring.Sample{Tester: "jo"}
	if _, err := s.StoreTray(t.Context(), again); err == nil {
		t.Fatal("one photo was taken into two samples")
	}
	if all, err := s.Load(t.Context(), first.Block); err != nil || len(all) != 1 {
		t.Fatalf("%d samples, %v; the refused tray left one behind", len(all), err)
	}
	next := trayOf(2, 1, 3)
	next.Picked, next.Head = again.Picked, again.Head
	store(t, s, next, Stored)
	all, err := s.Load(t.Context(), first.Block)
	if err != nil || len(all) != 2 || all[1].Tester != "jo" || len(all[1].Trays) != 1 {
		t.Errorf("%d samples, %v; want the second one with its tray and tester", len(all), err)
	}
}
