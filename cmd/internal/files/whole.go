package files

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

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
	sweep(filepath.Dir(path))
	err := writeBeside(path, b, put)
	switch {
	case err == nil:
		return nil
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT):
		return fmt.Errorf("%s: the disk is full: %w; make room and try again", path, Plain(err))
	}
	return fmt.Errorf("%s: cannot be written: %w; choose another name or folder", path, Plain(err))
}

func writeBeside(path string, b []byte, put func(from, to string) error) error {
	f, err := part(filepath.Dir(path))
	if err != nil {
		return err
	}
	defer f.Close()
	defer os.Remove(f.Name()) // nothing is there after a rename
	if _, err := f.Write(b); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	return put(f.Name(), path)
}

// partName begins the names of files that are not whole yet.
const partName = ".traystage-"

// part makes a file in a folder, as the user's mask has it, and locks it, by which
// others know that somebody is writing it.
func part(dir string) (*os.File, error) {
	for {
		path := filepath.Join(dir, partName+strings.ToLower(rand.Text()))
		f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if err != nil {
			return nil, err
		}
		// Where the disk knows no locks, nothing is swept away either.
		busy := errors.Is(lock(f), syscall.EWOULDBLOCK)
		if _, err := os.Lstat(path); err == nil && !busy {
			return f, nil
		}
		f.Close() // somebody swept it away before it was locked
	}
}

func lock(f *os.File) error { return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) }

// sweep removes parts that a program left which was ended while it wrote.
func sweep(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return // writing tells
	}
	for _, e := range entries {
		if !e.Type().IsRegular() || !strings.HasPrefix(e.Name(), partName) {
			continue
		}
		path := filepath.Join(dir, e.Name())
		if f, err := os.Open(path); err == nil {
			if lock(f) == nil {
				os.Remove(path)
			}
			f.Close()
		}
	}
}
