package workbench

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"time"
)

// DatedBackup is a copy of the season among others, named by its day.
type DatedBackup struct {
	Folder  string
	Removed []string // copies that were older than those to be kept
}

// BackupInto copies the season into a folder of copies under the season's name and
// the day, and removes the oldest copies of this season beyond keep; 0 keeps all. A
// copy that met damage is kept and pushes no other out: the last good ones are then
// worth most.
func (b *Bench) BackupInto(ctx context.Context, folder string, keep int) (DatedBackup, error) {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return DatedBackup{}, fmt.Errorf("%s: %w; name a folder that can be written to", folder, err)
	}
	to, err := b.backupNext(ctx, folder)
	if to == "" {
		return DatedBackup{}, err
	}
	out := DatedBackup{Folder: to}
	if err != nil || keep <= 0 {
		return out, err
	}
	all, err := b.datedBackups(folder)
	if err != nil {
		return out, err
	}
	for _, c := range surplus(all, filepath.Base(to), keep) {
		old := filepath.Join(folder, c.name)
		if err := os.RemoveAll(old); err != nil {
			return out, fmt.Errorf("%s: an old copy could not be removed: %w", old, err)
		}
		out.Removed = append(out.Removed, old)
	}
	return out, nil
}

// backupNext makes a copy under the next name; no folder is given where none was made. Whoever
// else makes one meanwhile may take that name: then the next one is.
func (b *Bench) backupNext(ctx context.Context, folder string) (to string, err error) {
	const turns = 9
	for range turns {
		name, err := b.backupName(folder)
		if err != nil {
			return "", err
		}
		to := filepath.Join(folder, name)
		made, err := b.Backup(ctx, to)
		if made {
			return to, err
		}
		if _, taken := os.Lstat(to); taken != nil {
			return "", err
		}
	}
	return "", fmt.Errorf("%s: other copies take one name after the other; try again", folder)
}

// surplus are the copies beyond keep that are to go, of all in order. The one just made stays,
// also where the clock was ahead when another was made, and so does one that somebody else made
// after it: that one's maker removes this one, if any does.
func surplus(all []datedCopy, made string, keep int) []datedCopy {
	i := slices.IndexFunc(all, func(c datedCopy) bool { return c.name == made })
	if i < 0 {
		return nil // somebody else's clock is ahead, and removed it
	}
	own := all[i]
	others := slices.DeleteFunc(slices.Clone(all), func(c datedCopy) bool { return c.day == own.day && c.number >= own.number })
	return others[:max(0, len(others)-(keep-1))]
}

// seasonName is the name of the season's folder.
func (b *Bench) seasonName() (string, error) {
	dir, err := filepath.Abs(b.Season.Dir())
	return filepath.Base(dir), err
}

// backupName is a name that comes after those of all copies of the day: of two copies of one
// day the later has the higher number, also where the earlier was removed.
func (b *Bench) backupName(folder string) (string, error) {
	season, err := b.seasonName()
	if err != nil {
		return "", err
	}
	names, err := datedNames(folder, season)
	if err != nil {
		return "", err
	}
	day, last := b.Today().Format(time.DateOnly), 0
	for _, c := range names {
		if c.day == day {
			last = max(last, c.number)
		}
	}
	if last == 0 {
		return season + "." + day, nil
	}
	return fmt.Sprintf("%s.%s-%02d", season, day, last+1), nil
}

// datedCopy is the name of a copy, with the day and the number on that day that it tells.
type datedCopy struct {
	name, day string
	number    int
}

// datedBackups are the copies of this season in a folder, the oldest first. What is
// no folder, has another name, or holds no season is none.
func (b *Bench) datedBackups(folder string) ([]datedCopy, error) {
	season, err := b.seasonName()
	if err != nil {
		return nil, err
	}
	names, err := datedNames(folder, season)
	return slices.DeleteFunc(names, func(c datedCopy) bool {
		at := filepath.Join(folder, c.name)
		dir, err := os.Lstat(at)
		if err != nil || !dir.IsDir() {
			return true
		}
		info, err := os.Lstat(filepath.Join(at, "season.db"))
		return err != nil || !info.Mode().IsRegular()
	}), err
}

// datedNames are the names in a folder that a copy of the season may have, in order of day and
// number. The first of a day has no number in its name.
func datedNames(folder, season string) ([]datedCopy, error) {
	dated := regexp.MustCompile(`^` + regexp.QuoteMeta(season) + `\.(\d{4}-\d{2}-\d{2})(?:-(\d{2,9}))?$`)
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	var out []datedCopy
	for _, e := range entries {
		m := dated.FindStringSubmatch(e.Name())
		if m == nil {
			continue
		}
		c := datedCopy{name: e.Name(), day: m[1], number: 1}
		if m[2] != "" {
			c.number, _ = strconv.Atoi(m[2]) // nine digits at most
		}
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b datedCopy) int {
		return cmp.Or(cmp.Compare(a.day, b.day), cmp.Compare(a.number, b.number))
	})
	return out, nil
}
