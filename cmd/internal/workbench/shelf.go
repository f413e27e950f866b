package workbench

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"traystage/calibrate"
	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
	"traystage/refimages"
)

// Shelf is the folder where reference sets are kept, each version one file
// that is never written again.
type Shelf struct {
	folder string
	behind *Shelf // where sets are looked for that this one does not hold; nil for nowhere
}

// NewShelf is a shelf in a folder, which need not be there yet.
func NewShelf(folder string) Shelf { return Shelf{folder: folder} }

// Set finds a reference set: the built-in one for "" or its name, a file when
// ref is one's path, else the newest version of NAME or the version of NAME.v2.
func (s Shelf) Set(ref string) (calibrate.Set, error) {
	set, _, err := s.find(ref)
	return set, err
}

// find is Set that gives the file too; empty for the built-in set.
func (s Shelf) find(ref string) (set calibrate.Set, file string, err error) {
	if ref == "" {
		set, err = refimages.Builtin()
		return set, "", err
	}
	if isFile(ref) {
		set, err = readSet(ref)
		return set, ref, err
	}
	name, version := splitVersion(ref)
	if name == refimages.BuiltinName {
		set, err = builtin(version)
		return set, "", err
	}
	held, versions, err := s.holding(name)
	if err != nil {
		return set, "", err
	}
	own, err := s.own()
	switch {
	case err != nil:
		return set, "", err
	case len(versions) == 0:
		return set, "", fmt.Errorf("reference set %q: there is none of that name; traystage refs list tells those there are", name)
	case version == 0:
		version = versions[len(versions)-1]
	case slices.Contains(own[name], version):
		held = s // before one of that number behind it
	case !slices.Contains(versions, version):
		return set, "", fmt.Errorf("reference set %q: there is no version %d; the newest is %d", name, version, versions[len(versions)-1])
	}
	file = held.file(name, version)
	set, err = readSet(file)
	if err == nil && (set.Name != name || set.Version != version) {
		err = fmt.Errorf("%s: was renamed: it holds version %d of the set %q; name it %s again", file, set.Version, set.Name, calibrate.FileName(set.Name, set.Version))
	}
	return set, file, err
}

// isFile says whether a set is named by the path of its file.
func isFile(ref string) bool {
	return strings.ContainsAny(ref, `/\`) || strings.HasSuffix(ref, ".json")
}

// builtin is the built-in set; version is 0 for whichever it is.
func builtin(version int) (calibrate.Set, error) {
	set, err := refimages.Builtin()
	if err == nil && version != 0 && version != set.Version {
		err = fmt.Errorf("reference set %q: there is no version %d; this traystage has version %d built in", set.Name, version, set.Version)
	}
	return set, err
}

// checkNewName says whether a set may be made under this name and found again.
func checkNewName(name string) error {
	if err := calibrate.ValidateName(name); err != nil {
		return fault.Usage{Err: err}
	}
	if _, version := splitVersion(name); version > 0 {
		return fault.Usagef("%q: a name must not end like a version; leave off %q", name, fmt.Sprintf(".v%d", version))
	}
	if strings.HasSuffix(name, ".json") {
		return fault.Usagef("%q: a name must not end like a file; leave off \".json\"", name)
	}
	if name == refimages.BuiltinName {
		return fmt.Errorf("reference set %q: is built in; choose another name", name)
	}
	return nil
}

func (s Shelf) file(name string, version int) string {
	return filepath.Join(s.folder, calibrate.FileName(name, version))
}

func readSet(path string) (calibrate.Set, error) {
	b, err := files.Read(path)
	if err != nil {
		return calibrate.Set{}, err
	}
	set, err := calibrate.Decode(bytes.NewReader(b))
	if err != nil {
		return calibrate.Set{}, fmt.Errorf("%s: %w", path, err)
	}
	return set, nil
}

// add writes a new version. One that is there already is never overwritten.
func (s Shelf) add(set calibrate.Set) (path string, err error) {
	var b bytes.Buffer
	if err := calibrate.Encode(&b, set); err != nil {
		return "", err
	}
	if err := files.MakeFolder(s.folder); err != nil {
		return "", err
	}
	path = s.file(set.Name, set.Version)
	err = files.WriteNew(path, b.Bytes())
	if errors.Is(err, fs.ErrExist) {
		err = fmt.Errorf("%s: is there already and versions are never overwritten; try again", path)
	}
	return path, err
}

var versionSuffix = regexp.MustCompile(`^(.+)\.v([1-9][0-9]{0,5})$`)

// splitVersion takes NAME.v2 apart; version is 0 for NAME alone.
func splitVersion(ref string) (name string, version int) {
	if m := versionSuffix.FindStringSubmatch(ref); m != nil {
		version, _ = strconv.Atoi(m[2]) // six digits fit
		return m[1], version
	}
	return ref, 0
}

// holding is the shelf that holds a set, this one or one behind it, with the
// set's versions there, oldest first; none where no shelf does. Where the newest version here
// is a copy of one behind, the set lives behind, where newer ones may be.
func (s Shelf) holding(name string) (Shelf, []int, error) {
	all, err := s.own()
	versions := all[name]
	if err != nil || s.behind == nil || len(versions) > 0 && !s.copied(name, versions[len(versions)-1]) {
		return s, versions, err
	}
	return s.behind.holding(name)
}

// copied says whether a version here is the same behind this shelf.
func (s Shelf) copied(name string, version int) bool {
	there, err := os.ReadFile(s.behind.file(name, version))
	if err != nil {
		return false // it is not there, or cannot be told
	}
	here, err := os.ReadFile(s.file(name, version))
	return err == nil && bytes.Equal(here, there)
}

// all lists the versions of every set that can be found from here, oldest first.
func (s Shelf) all() (map[string][]int, error) {
	all, err := s.own()
	if err != nil || s.behind == nil {
		return all, err
	}
	behind, err := s.behind.all()
	if all == nil {
		return behind, err
	}
	for name, versions := range behind {
		if len(all[name]) == 0 {
			all[name] = versions
		}
	}
	return all, err
}

// own lists the versions of every set on this very Shelf, oldest first.
func (s Shelf) own() (map[string][]int, error) {
	entries, err := os.ReadDir(s.folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w; set TRAYSTAGE_HOME to a folder of yours", s.folder, files.Plain(err))
	}
	all := map[string][]int{}
	for _, e := range entries {
		if name, version := splitVersion(strings.TrimSuffix(e.Name(), ".json")); version > 0 && strings.HasSuffix(e.Name(), ".json") {
			all[name] = append(all[name], version)
		}
	}
	for _, v := range all {
		slices.Sort(v)
	}
	delete(all, refimages.BuiltinName) // that name is never looked for here
	return all, nil
}
