package workbench

import (
	"context"
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

// gather brings the sets that the season uses from where they are found into it: seasons of before
// sets were kept in them have theirs outside. What is not found, or cannot be read or written, is
// left: the check of the season tells it.
func (b *Bench) gather(ctx context.Context) {
	if b.Season.ReadOnly() || b.Shelf.behind == nil {
		return
	}
	used, _ := b.Season.SetsUsed(ctx)
	for _, u := range used {
		set, file, err := b.Shelf.behind.find(u.Name + ".v" + u.Version)
		if err != nil {
			continue
		}
		if digest, err := set.Digest(); err == nil && digest == u.Digest {
			_ = b.borrow(set, file)
		}
	}
	blocks, _ := b.Season.Blocks(ctx)
	for _, block := range blocks {
		if block.Set != "" && !isFile(block.Set) { // what a path leads to may be anything by now
			_, _ = b.borrowFor(block.Set)
		}
	}
}
