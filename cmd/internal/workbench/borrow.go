package workbench

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"traystage/calibrate"
	"traystage/cmd/internal/files"
)

// A season is whole by itself: whoever copies its folder has all that its figures rest on. A set
// of the user's own that is used in a season is therefore copied into it, file by file; which of
// two sets of one name and version is meant, their digests tell.

// errOtherSet says that a season holds another set under the name and version of one.
var errOtherSet = errors.New("the season holds another set of that name and version")

// borrow copies the file of a set into the season's shelf, unless it is there or came with the
// program.
func (b *Bench) borrow(set calibrate.Set, file string) error {
	if b.Season == nil || file == "" || calibrate.IsBuiltIn(set.Name) {
		return nil
	}
	own := b.Shelf.file(set.Name, set.Version)
	if file == own {
		return nil
	}
	if same, err := sameSet(own, set); err != nil || same {
		return err
	}
	text, err := files.Read(file)
	if err != nil {
		return err
	}
	if err := files.MakeFolder(b.Shelf.folder); err != nil {
		return err
	}
	if err := files.WriteNew(own, text); !errors.Is(err, fs.ErrExist) {
		return err
	}
	_, err = sameSet(own, set) // somebody else was quicker
	return err
}

// sameSet says whether a file is there and holds the set; it is an error where it holds another.
func sameSet(file string, set calibrate.Set) (bool, error) {
	if _, err := os.Lstat(file); errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	held, err := readSet(file)
	if err != nil {
		return false, err
	}
	want, err := set.Digest()
	if err != nil {
		return false, err
	}
	if digest, err := held.Digest(); err != nil || digest == want {
		return true, err
	}
	return false, fmt.Errorf("reference set %s, version %d: %w, %s: call yours by another name", set.Name, set.Version, errOtherSet, filepath.Base(file))
}

// borrowFor brings the set that a block names into the season and gives the name that the block
// finds it by: of a file outside that is the version in the season.
func (b *Bench) borrowFor(ref string) (string, error) {
	set, file, err := b.Shelf.find(ref)
	if err != nil {
		return ref, err
	}
	if err := b.borrow(set, file); err != nil || !isFile(ref) || calibrate.IsBuiltIn(set.Name) {
		return ref, err
	}
	return fmt.Sprintf("%s.v%d", set.Name, set.Version), nil
}
