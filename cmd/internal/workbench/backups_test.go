package workbench

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// The copy just made is never the one that goes, however many there are of a day.
func TestBackupKeepsTheLast(t *testing.T) {
	ctx := t.Context()
	dir, copies := filepath.Join(t.TempDir(), "larkfield"), filepath.Join(t.TempDir(), "copies")
	if err := NewSeason(ctx, dir, "hm", "Larkfield"); err != nil {
		t.Fatal(err)
	}
	b, err := Open(ctx, Config{Season: dir, Program: "test"})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	on := func(day int) {
		b.Now = func() time.Time { return time.Date(2026, 9, day, 2, 30, 0, 0, time.UTC) }
	}
	on(4)
	for _, name := range []string{"larkfield.2026-09-04", "larkfield.2026-09-04-02", "larkfield.2026-09-04-03", "larkfield.2026-09-04-04"} {
		made, err := b.BackupInto(ctx, copies, 1)
		if err != nil {
			t.Fatal(err)
		}
		if want := filepath.Join(copies, name); made.Folder != want {
			t.Errorf("the copy is %s, want %s", made.Folder, want)
		}
		if _, err := os.Stat(filepath.Join(made.Folder, "season.db")); err != nil {
			t.Errorf("the copy just made is gone: %v", err)
		}
	}
	// A hundred copies of a day and more are told in order.
	for _, name := range []string{"larkfield.2026-09-04-99", "larkfield.2026-09-04-100"} {
		if err := os.Rename(filepath.Join(copies, "larkfield.2026-09-04-04"), filepath.Join(copies, name)); err != nil {
			t.Fatal(err)
		}
		if err := os.CopyFS(filepath.Join(copies, "larkfield.2026-09-04-04"), os.DirFS(filepath.Join(copies, name))); err != nil {
			t.Fatal(err)
		}
	}
	keeps := func(want ...string) {
		t.Helper()
		if _, err := b.BackupInto(ctx, copies, 2); err != nil {
			t.Fatal(err)
		}
		var got []string
		entries, err := os.ReadDir(copies)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			got = append(got, e.Name())
		}
		if !slices.Equal(got, want) {
			t.Errorf("kept %q, want %q", got, want)
		}
	}
	keeps("larkfield.2026-09-04-100", "larkfield.2026-09-04-101")
	on(3) // the clock was ahead, and was put right
	keeps("larkfield.2026-09-03", "larkfield.2026-09-04-101")
	keeps("larkfield.2026-09-03-02", "larkfield.2026-09-04-101")
}

func TestBackupInto(t *testing.T) {
	ctx := t.Context()
	dir, copies := filepath.Join(t.TempDir(), "larkfield"), filepath.Join(t.TempDir(), "copies")
	if err := NewSeason(ctx, dir, "hm", "Larkfield"); err != nil {
		t.Fatal(err)
	}
	b, err := Open(ctx, Config{Season: dir, Program: "test"})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	// What only looks like a copy of this season is not removed.
	others := []string{"larkfield.2026-01-01", "orchard.2026-01-01", "larkfield.old"}
	for _, o := range others {
		if err := os.MkdirAll(filepath.Join(copies, o), 0o777); err != nil {
			t.Fatal(err)
		}
	}
	for day := 1; day <= 4; day++ {
		b.Now = func() time.Time { return time.Date(2026, 9, day, 2, 30, 0, 0, time.UTC) }
		if _, err := b.BackupInto(ctx, copies, 2); err != nil {
			t.Fatal(err)
		}
	}
	again, err := b.BackupInto(ctx, copies, 2)
	if err != nil {
		t.Fatal(err)
	}
	if want := filepath.Join(copies, "larkfield.2026-09-04-02"); again.Folder != want {
		t.Errorf("the second copy of a day is %s, want %s", again.Folder, want)
	}
	entries, err := os.ReadDir(copies)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	want := append(slices.Clone(others), "larkfield.2026-09-04", "larkfield.2026-09-04-02")
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("kept %q, want %q", got, want)
	}
}

// Copies that are made at once each get a name, and none makes away with the last one.
func TestBackupsAtOnce(t *testing.T) {
	dir, copies := filepath.Join(t.TempDir(), "larkfield"), filepath.Join(t.TempDir(), "copies")
	if err := NewSeason(t.Context(), dir, "hm", "Larkfield"); err != nil {
		t.Fatal(err)
	}
	const makers = 4
	failed := make(chan error, makers)
	for range makers {
		go func() {
			b, err := Open(t.Context(), Config{Season: dir, Program: "test"})
			if err == nil {
				_, err = b.BackupInto(t.Context(), copies, 0)
				b.Close()
			}
			failed <- err
		}()
	}
	for range makers {
		if err := <-failed; err != nil {
			t.Error(err)
		}
	}
	if entries, err := os.ReadDir(copies); err != nil || len(entries) != makers {
		t.Errorf("%d copies of %d (%v)", len(entries), makers, err)
	}
}

func TestSurplus(t *testing.T) {
	all := []datedCopy{{"a", "2026-09-03", 1}, {"b", "2026-09-04", 1}, {"c", "2026-09-04", 2}, {"d", "2026-09-04", 3}, {"e", "2026-09-05", 1}}
	for _, row := range []struct {
		made string
		keep int
		want string
	}{
		{"d", 1, "abce"}, {"c", 1, "abe"}, {"c", 2, "ab"}, {"e", 1, "abcd"}, {"e", 4, "a"}, {"e", 9, ""}, {"a", 1, "bcde"}, {"gone", 1, ""},
	} {
		got := ""
		for _, c := range surplus(all, row.made, row.keep) {
			got += c.name
		}
		if got != row.want {
			t.Errorf("%s made, %d kept: %q goes, want %q", row.made, row.keep, got, row.want)
		}
	}
}
