package ledger

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
)

// extension is the end of a file name by which other programs know a photo.
var extension = regexp.MustCompile(`^\.[a-z0-9]{1,5}$`)

// photoFile names the file of a photo below photos/, with slashes: two letters
// of its hash, so that no folder grows too long, the hash, and the extension
// that the photo came with.
func photoFile(hash, name string) string {
	ext := strings.ToLower(filepath.Ext(name))
	if !extension.MatchString(ext) {
		ext = ""
	}
	return hash[:2] + "/" + hash + ext
}

func hashOf(photo []byte) string {
	sum := sha256.Sum256(photo)
	return hex.EncodeToString(sum[:])
}

func (s *Season) photoPath(file string) string {
	return filepath.Join(s.photos(), filepath.FromSlash(file))
}

// keepPhoto puts a photo in its place, unless it is there whole, and says
// whether it did. The write lock must be held.
func (s *Season) keepPhoto(file string, photo []byte) (made bool, err error) {
	path := s.photoPath(file)
	if there, err := os.ReadFile(path); err == nil && bytes.Equal(there, photo) {
		return false, nil
	}
	switch err := os.Mkdir(filepath.Dir(path), 0o755); {
	case err == nil:
		if err := syncFolders(s.photos()); err != nil {
			return false, err
		}
	case !errors.Is(err, fs.ErrExist):
		return false, fileError(path, err)
	}
	return true, writeWhole(path, photo, s.photos())
}

// takeBack removes the photo of a tray that could not be stored. Another
// program may have stored it meanwhile; then it stays.
func (s *Season) takeBack(ctx context.Context, file string) error {
	return s.write(context.WithoutCancel(ctx), func(w writer) error {
		known, err := w.photoFiles()
		if _, ok := known[file]; ok || err != nil {
			return err
		}
		if err := os.Remove(s.photoPath(file)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fileError(s.photoPath(file), err)
		}
		return nil
	})
}

// Photo gives the bytes of the photo with this SHA-256, in hexadecimal. Bytes
// that are no longer those that were stored are refused.
func (s *Season) Photo(ctx context.Context, hash string) ([]byte, error) {
	var file string
	err := s.read(ctx, func(r reader) error {
		tray, err := r.tray(hash)
		file = tray.file
		return err
	})
	if err != nil {
		return nil, err
	}
	path := s.photoPath(file)
	photo, err := os.ReadFile(path)
	if err != nil {
		return nil, fileError(path, err)
	}
	if hashOf(photo) != hash {
		return nil, refuse("%s: %w: it is not the photo that was stored; put the file of the last backup in its place", path, ErrDamaged)
	}
	return photo, nil
}

// recover clears away what programs left that were ended in the middle of
// storing a tray: parts of photos are removed, and whole photos whose tray was
// not stored go to the folder unfinished, where they are lost to nobody.
func (s *Season) recover(ctx context.Context) error {
	// The lock tells that no program is between photo and rows right now.
	err := s.write(ctx, func(w writer) error {
		known, err := w.photoFiles()
		if err != nil {
			return err
		}
		return s.eachPhotoFile(func(file string) error {
			_, ok := known[file]
			switch {
			case ok:
				return nil
			case strings.HasPrefix(filepath.Base(file), halfWritten):
				return os.Remove(s.photoPath(file))
			}
			return s.setAside(file)
		})
	})
	if errors.Is(err, ErrReadOnly) {
		return nil // what was left does no harm, and the season can still be read
	}
	return err
}

func (s *Season) setAside(file string) error {
	to := filepath.Join(s.dir, unfinishedName, filepath.Base(file))
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return fileError(to, err)
	}
	if err := os.Rename(s.photoPath(file), to); err != nil {
		return fileError(to, err)
	}
	return syncFolders(filepath.Dir(s.photoPath(file)), filepath.Dir(to))
}

// Unfinished lists the photos that were whole when the program was ended, but
// whose trays were not stored: paths of files. They can be stored again.
func (s *Season) Unfinished() ([]string, error) {
	dir := filepath.Join(s.dir, unfinishedName)
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fileError(dir, err)
	}
	var paths []string
	for _, e := range entries {
		paths = append(paths, filepath.Join(dir, e.Name()))
	}
	return paths, nil
}

// eachPhotoFile calls f with the path of every file below photos/, with slashes.
func (s *Season) eachPhotoFile(f func(file string) error) error {
	return filepath.WalkDir(s.photos(), func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return fileError(path, err)
		}
		if d.IsDir() {
			return nil
		}
		file, err := filepath.Rel(s.photos(), path)
		if err != nil {
			return err
		}
		return f(filepath.ToSlash(file))
	})
}

// photoFiles gives the hash of each photo by its file.
func (r reader) photoFiles() (map[string]string, error) {
	files := map[string]string{}
	err := r.each(func(scan func(...any) error) error {
		var file, hash string
		err := scan(&file, &hash)
		files[file] = hash
		return err
	}, "SELECT file, hash FROM tray")
	return files, err
}
