package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// readFile reads one file that the user named. Errors name it.
func readFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("%s: no such file; check the name and the folder", path)
	case err != nil:
		return nil, fmt.Errorf("%s: cannot be read: %w", path, plain(err))
	case info.IsDir():
		return nil, fmt.Errorf("%s: is a folder; name the photos in it, as in %s", path, filepath.Join(path, "*.jpg"))
	}
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w; check its permissions", path, plain(err))
	}
	return b, nil
}

// writeFile writes a whole file or none: beside its place first, then renamed.
func writeFile(path string, b []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".traystage-*")
	if err != nil {
		return fmt.Errorf("%s: cannot be written: %w; choose another folder", path, plain(err))
	}
	defer os.Remove(f.Name()) // nothing is there after the rename
	_, err = f.Write(b)
	if err == nil {
		err = f.Chmod(0o644)
	}
	if err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return fmt.Errorf("%s: cannot be written: %w", path, plain(err))
	}
	return nil
}

// makeFolder makes the folder for a command's output.
func makeFolder(path string) error {
	if err := os.MkdirAll(path, 0o755); err != nil {
		if errors.Is(err, syscall.ENOTDIR) || errors.Is(err, fs.ErrExist) {
			return fmt.Errorf("%s: is a file, not a folder; choose another folder", path)
		}
		return fmt.Errorf("%s: cannot be made: %w; choose another folder", path, plain(err))
	}
	return nil
}

// plain leaves of a file error its reason alone; the path has been named.
func plain(err error) error {
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
