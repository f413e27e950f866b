package workbench

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
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
	name, err := b.backupName(folder)
	if err != nil {
		return DatedBackup{}, err
	}
	to := filepath.Join(folder, name)
	made, err := b.Backup(ctx, to)
	if err != nil && !made {
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
	for len(all) > keep {
		old := filepath.Join(folder, all[0])
		if err := os.RemoveAll(old); err != nil {
			return out, fmt.Errorf("%s: an old copy could not be removed: %w", old, err)
		}
		out.Removed = append(out.Removed, old)
		all = all[1:]
	}
	return out, nil
}

// seasonName is the name of the season's folder.
func (b *Bench) seasonName() (string, error) {
	dir, err := filepath.Abs(b.Season.Dir())
	return filepath.Base(dir), err
}

// backupName is a name that no copy in the folder has: two of one day are numbered.
func (b *Bench) backupName(folder string) (string, error) {
	season, err := b.seasonName()
	if err != nil {
		return "", err
	}
	day := season + "." + b.Today().Format(time.DateOnly)
	name := day
	for n := 2; ; n++ {
		if _, err := os.Lstat(filepath.Join(folder, name)); os.IsNotExist(err) {
			return name, nil
		} else if err != nil {
			return "", err
		}
		name = fmt.Sprintf("%s-%02d", day, n)
	}
}

// datedBackups are the copies of this season in a folder, the oldest first. What is
// no folder, has another name, or holds no season is none.
func (b *Bench) datedBackups(folder string) ([]string, error) {
	season, err := b.seasonName()
	if err != nil {
		return nil, err
	}
	dated := regexp.MustCompile(`^` + regexp.QuoteMeta(season) + `\.\d{4}-\d{2}-\d{2}(-\d{2})?$`)
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	var out []string
	for _, e := range entries {
		if !e.IsDir() || !dated.MatchString(e.Name()) {
			continue
		}
		if info, err := os.Lstat(filepath.Join(folder, e.Name(), "season.db")); err == nil && info.Mode().IsRegular() {
			out = append(out, e.Name())
		}
	}
	slices.Sort(out)
	return out, nil
}
