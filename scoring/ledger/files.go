package ledger

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"hash"
	"io/fs"
	"os"
	"strings"
)

// halfWritten begins the names of files that are not whole yet.
const halfWritten = ".incoming-"

func newHash() hash.Hash { return sha256.New() }

func hexOf(h hash.Hash) string { return hex.EncodeToString(h.Sum(nil)) }

func hashOf(photo []byte) string {
	h := newHash()
	h.Write(photo)
	return hexOf(h)
}

// randomName is a name that nobody else has.
func randomName() string { return strings.ToLower(rand.Text()) }

// renameNew gives a file its name, and fails where there is one of that name.
func renameNew(from, to string) error {
	err := os.Link(from, to) // unlike a rename it fails where there is a file
	if err == nil {
		return os.Remove(from)
	}
	if errors.Is(err, fs.ErrExist) {
		return err
	}
	// Cards and sticks know no links.
	if _, err := os.Lstat(to); err == nil {
		return fs.ErrExist
	}
	return os.Rename(from, to)
}

// syncFolders makes sure that the names in folders are on the disk.
func syncFolders(dirs ...string) error {
	for _, dir := range dirs {
		if err := syncPath(dir); err != nil {
			return err
		}
	}
	return nil
}

// syncPath makes sure that a file, or the names in a folder, are on the disk.
func syncPath(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return fileError(path, err)
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return fileError(path, err)
	}
	return nil
}

// createFile makes an empty file as the user's mask has it, for SQLite to fill:
// a file that others may not read would be of no use on a shared folder.
func createFile(path string) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return fileError(path, err)
	}
	if err := f.Close(); err != nil {
		return fileError(path, err)
	}
	return nil
}
