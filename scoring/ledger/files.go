package ledger

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// halfWritten begins the names of files that are not whole yet.
const halfWritten = ".incoming-"

// writeWhole writes a file that is on the disk when it returns, or none. It is
// written in a folder of the same disk and renamed.
func writeWhole(path string, content []byte, beside string) error {
	f, err := os.CreateTemp(beside, halfWritten+"*")
	if err != nil {
		return fileError(path, err)
	}
	defer os.Remove(f.Name()) // nothing is there after the rename
	_, err = f.Write(content)
	if err == nil {
		err = f.Chmod(0o644)
	}
	if err == nil {
		err = f.Sync()
	}
	err = errors.Join(err, f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return fileError(path, err)
	}
	return syncFolders(filepath.Dir(path))
}

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
