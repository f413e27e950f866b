// Package files reads what the user names and writes what the program makes:
// whole files or none, and none over another by mistake.
package files

import (
	"errors"
	"fmt"
	"io/fs"
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

// MakeFolder makes the folder for a command's output and sees that files can be
// written to it, before work is done that could not be kept.
func MakeFolder(path string) error {
	if err := os.MkdirAll(path, 0o777); err != nil {
		if errors.Is(err, syscall.ENOTDIR) || errors.Is(err, fs.ErrExist) {
			return fmt.Errorf("%s: is a file, not a folder; choose another folder", path)
		}
		return fmt.Errorf("%s: cannot be made: %w; choose another folder", path, Plain(err))
	}
	f, err := part(path)
	if err != nil {
		return fmt.Errorf("%s: cannot be written to: %w; choose another folder", path, Plain(err))
	}
	defer f.Close()
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
