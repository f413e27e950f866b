// Package files reads what the user names and writes what the program makes:
// whole files or none, and none over another by mistake.
package files

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"syscall"
)

// maxFile is above any photo and any reference set, in bytes; more would
// exhaust a small machine.
const maxFile = 512 << 20

// Read reads one file that the user named. Errors name it.
func Read(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("%s: no such file; check the name and the folder", path)
	case err != nil:
		return nil, fmt.Errorf("%s: cannot be read: %w", path, Plain(err))
	case info.IsDir():
		return nil, fmt.Errorf("%s: is a folder, not a file; name the files in it, as in %s", path, filepath.Join(path, "*"))
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s: is a device or a pipe, not a file; save what it holds as a file first", path)
	case info.Size() > maxFile:
		return nil, fmt.Errorf("%s: is larger than %d MB, which nothing that traystage reads is; check the name", path, maxFile>>20)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w; check its permissions", path, Plain(err))
	}
	return b, nil
}

// Write writes a whole file or none, in place of what has its name.
func Write(path string, b []byte) error { return write(path, b, os.Rename) }

// WriteNew writes a whole file or none, and none where one of its name is.
func WriteNew(path string, b []byte) error {
	return write(path, b, func(from, to string) error {
		err := os.Link(from, to) // unlike a rename it fails where there is a file
		if err == nil || errors.Is(err, fs.ErrExist) {
			return err
		}
		// Cards and sticks know no links.
		if _, err := os.Lstat(to); err == nil {
			return fs.ErrExist
		}
		return os.Rename(from, to)
	})
}

// write writes beside the place first, then puts the whole file there.
func write(path string, b []byte, put func(from, to string) error) error {
	f, err := besideOf(path)
	if err != nil {
		return fmt.Errorf("%s: cannot be written: %w; choose another folder", path, Plain(err))
	}
	defer os.Remove(f.Name()) // nothing is there after a rename
	_, err = f.Write(b)
	if err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = put(f.Name(), path)
	}
	if err != nil {
		return fmt.Errorf("%s: cannot be written: %w; choose another name or folder", path, Plain(err))
	}
	return nil
}

// besideOf makes a file beside another one, with the rights that new files have here.
func besideOf(path string) (*os.File, error) {
	for {
		name := filepath.Join(filepath.Dir(path), fmt.Sprintf(".traystage-%x", rand.Uint64()))
		f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
}

// MakeFolder makes the folder for a command's output and sees that files can be
// written to it, before work is done that could not be kept.
func MakeFolder(path string) error {
	if err := os.MkdirAll(path, 0o777); err != nil {
		if errors.Is(err, syscall.ENOTDIR) || errors.Is(err, fs.ErrExist) {
			return fmt.Errorf("%s: is a file, not a folder; choose another folder", path)
		}
		return fmt.Errorf("%s: cannot be made: %w; choose another folder", path, Plain(err))
	}
	f, err := os.CreateTemp(path, ".traystage-*")
	if err != nil {
		return fmt.Errorf("%s: cannot be written to: %w; choose another folder", path, Plain(err))
	}
	f.Close()
	return os.Remove(f.Name())
}

// Plain leaves of a file error its reason alone; the path has been named.
func Plain(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	var l *os.LinkError
	if errors.As(err, &l) {
		return l.Err
	}
	return err
}
