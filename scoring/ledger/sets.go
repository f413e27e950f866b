package ledger

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"traystage/calibrate"
)

// largestSet is far beyond what a reference set takes, bytes.
const largestSet = 64 << 20

// sameSet refuses a tray that was scored on another set than the last tray that
// was scored on one of the same name and version: a version never changes, so
// one of them was replaced.
func (w writer) sameSet(t Tray, b Beside) error {
	ref := t.Report.Reference
	var digest string
	err := w.one("SELECT set_digest FROM scoring WHERE set_name = ? AND set_version = ? ORDER BY id DESC LIMIT 1",
		[]any{ref.Name, ref.Version}, &digest)
	if errors.Is(err, sql.ErrNoRows) || err == nil && (digest == t.SetDigest || strings.TrimSpace(b.Anyway) != "") {
		return nil
	}
	if err != nil {
		return err
	}
	return refuse("photo %q: reference set %s, version %s, %w: versions never change, so its file was replaced; put back the file of the last backup, or make a new version",
		t.Report.Photo, ref.Name, ref.Version, ErrReplaced)
}

// checkSets finds reference sets that are not those that trays were scored on, and such as are
// missing.
func (s *Season) checkSets(r reader) ([]Finding, error) {
	type version struct{ name, version string }
	scored := map[version][]string{} // digests
	err := r.each(func(scan func(...any) error) error {
		var v version
		var digest string
		err := scan(&v.name, &v.version, &digest)
		scored[v] = append(scored[v], digest)
		return err
	}, "SELECT DISTINCT set_name, set_version, set_digest FROM scoring ORDER BY set_name, set_version, set_digest")
	if err != nil {
		return nil, err
	}
	sets, found, err := s.sets()
	if err != nil {
		return found, err
	}
	missing, err := s.missingSets(r, sets)
	found = append(found, missing...)
	for _, set := range sets {
		v := version{set.name, strconv.Itoa(set.version)}
		for _, digest := range scored[v] {
			if set.digest != "" && digest != set.digest {
				found = append(found, Finding{refsName + "/" + set.file,
					"it is not the set " + set.name + ", version " + v.version + ", that trays were scored on: it was replaced", "put the file of the last backup in its place"})
			}
		}
	}
	return found, err
}

// missingSets finds sets that the season uses and does not hold: those that trays which count are
// called on, and those that blocks name.
func (s *Season) missingSets(r reader, sets []setFile) ([]Finding, error) {
	used, err := r.setsUsed()
	if err != nil {
		return nil, err
	}
	var found []Finding
	for _, u := range used {
		if file := u.Name + ".v" + u.Version + ".json"; !slices.ContainsFunc(sets, func(f setFile) bool { return u.is(f) }) {
			found = append(found, Finding{refsName + "/" + file, "it is missing, and trays were scored on it",
				"put the file of the last backup there, or score the photos again on another set"})
		}
	}
	named, err := s.blocksWithoutSet(r, sets)
	return slices.CompactFunc(append(found, named...), func(a, b Finding) bool { return a == b }), err
}

// UsedSet is a version of a reference set that trays which count were scored on.
type UsedSet struct{ Name, Version, Digest string }

func (u UsedSet) is(f setFile) bool {
	return u.Name == f.name && u.Version == strconv.Itoa(f.version)
}

// SetsUsed gives the sets that trays which count were scored on, without those that come with the
// program: they are in no season.
func (s *Season) SetsUsed(ctx context.Context) (used []UsedSet, err error) {
	err = s.read(ctx, func(r reader) error {
		used, err = r.setsUsed()
		return err
	})
	return used, err
}

func (r reader) setsUsed() ([]UsedSet, error) {
	var used []UsedSet
	err := r.each(func(scan func(...any) error) error {
		var u UsedSet
		err := scan(&u.Name, &u.Version, &u.Digest)
		if !calibrate.IsBuiltIn(u.Name) {
			used = append(used, u)
		}
		return err
	}, "SELECT DISTINCT s.set_name, s.set_version, s.set_digest FROM "+currentTrays+" WHERE NOT e.struck ORDER BY 1, 2, 3")
	return used, err
}

// blocksWithoutSet finds blocks whose trays are to be called on a set that the season does not hold.
func (s *Season) blocksWithoutSet(r reader, sets []setFile) ([]Finding, error) {
	blocks, err := r.blockEntries(currentBlocks, "true ORDER BY name COLLATE NOCASE")
	var found []Finding
	for _, b := range blocks {
		held := slices.ContainsFunc(sets, func(f setFile) bool {
			return b.Block.Set == f.name || b.Block.Set+".json" == calibrate.FileName(f.name, f.version)
		})
		if b.Block.Set != "" && !held && !calibrate.IsBuiltIn(b.Block.Set) {
			found = append(found, Finding{refsName, fmt.Sprintf("the set %s that block %q names is missing", b.Block.Set, b.Block.Name),
				fmt.Sprintf("say again where it is, or name another, with traystage block change %q --set", b.Block.Name)})
		}
	}
	return found, err
}

// setFile is a reference set of the season's own.
type setFile struct {
	file, name string
	version    int
	digest     string // empty where the file cannot be read
}

// called is what a file of the name holds, unless somebody renamed it.
func called(file string) setFile {
	stem := strings.TrimSuffix(file, ".json")
	at := max(strings.LastIndex(stem, ".v"), 0)
	version, _ := strconv.Atoi(strings.TrimPrefix(stem[at:], ".v"))
	return setFile{file: file, name: stem[:at], version: version}
}

// sets reads the reference sets of the season; what cannot be read is a finding.
func (s *Season) sets() (sets []setFile, found []Finding, err error) {
	if _, err := os.Lstat(s.Refs()); errors.Is(err, fs.ErrNotExist) {
		return nil, nil, nil
	}
	root, err := s.folder(refsName)
	if err != nil {
		return nil, []Finding{{refsName, "it is no folder", "put the folder of the last backup in its place"}}, nil
	}
	defer root.Close()
	err = eachFile(root, func(file string) error {
		if !strings.HasSuffix(file, ".json") {
			return nil
		}
		set, err := readSet(root, file)
		if err != nil {
			found = append(found, Finding{refsName + "/" + file, "it cannot be read: " + err.Error(), "put the file of the last backup in its place"})
			set = called(file)
		}
		sets = append(sets, set)
		return nil
	})
	return sets, found, err
}

func readSet(root *os.Root, file string) (setFile, error) {
	f, _, err := openFile(root, filepath.FromSlash(file))
	if err != nil {
		return setFile{}, err
	}
	defer f.Close()
	set, err := calibrate.Decode(io.LimitReader(f, largestSet))
	if err != nil {
		return setFile{}, err
	}
	digest, err := set.Digest()
	return setFile{file, set.Name, set.Version, digest}, err
}
