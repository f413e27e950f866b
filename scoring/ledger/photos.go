package ledger

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
)

// Photos are reached through a root that nothing can lead out of, by names that
// this program gives and no others. What lies in the place of a photo and is no
// file is neither followed nor waited for.

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

var hexDigest = regexp.MustCompile(`^[0-9a-f]{64}$`)

// placeRight says whether a file is one that photoFile gives for a hash.
func placeRight(file, hash string) bool {
	return hexDigest.MatchString(hash) && file == photoFile(hash, path.Base(file))
}

// misplaced refuses a tray whose photo is said to be where none can be.
func misplaced(file string) error {
	return refuse("%s: %w: it says that a photo is in %q, where none can be; %s", databaseName, ErrDamaged, file, advice[ErrDamaged])
}

func (s *Season) photoPath(file string) string {
	return filepath.Join(s.photos(), filepath.FromSlash(file))
}

// folder opens a folder of the season. A link in its place is refused: it might
// lead to files that are none of the season's.
func (s *Season) folder(name string) (*os.Root, error) {
	dir := filepath.Join(s.dir, name)
	info, err := os.Lstat(dir)
	if err == nil && !info.IsDir() {
		return nil, refuse("%s: is not a folder; put the folder of the last backup in its place", dir)
	}
	if err != nil {
		return nil, fileError(dir, err)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fileError(dir, err)
	}
	return root, nil
}

// errNoFile says that something else than a file lies in a place.
var errNoFile = errors.New("it is a link, a pipe or a device, not a file")

// openFile opens a file to be read, and nothing else.
func openFile(root *os.Root, name string) (*os.File, fs.FileInfo, error) {
	info, err := root.Lstat(name)
	if err != nil {
		return nil, nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, nil, errNoFile
	}
	// It may have become a pipe since; without the flag to open that would wait.
	f, err := root.OpenFile(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, nil, err
	}
	now, err := f.Stat()
	if err == nil && (!now.Mode().IsRegular() || !os.SameFile(info, now)) {
		err = errNoFile
	}
	if err != nil {
		f.Close()
		return nil, nil, err
	}
	return f, now, nil
}

// errOtherPhoto says that a photo is not the one that was stored.
var errOtherPhoto = errors.New("it is not the photo that was stored: its bytes have changed")

// readPhoto copies a photo to a writer, and says whether it is what was stored.
func readPhoto(to io.Writer, root *os.Root, row photoRow) error {
	f, info, err := openFile(root, filepath.FromSlash(row.file))
	if err != nil {
		return err
	}
	defer f.Close()
	if info.Size() != row.bytes {
		return errOtherPhoto // said without reading what may have grown beyond measure
	}
	sum := newHash()
	if _, err := io.Copy(io.MultiWriter(to, sum), io.LimitReader(f, row.bytes)); err != nil {
		return err
	}
	if hexOf(sum) != row.hash {
		return errOtherPhoto
	}
	return nil
}

// stowed is a photo that was put in its place for a tray that is not stored yet.
type stowed struct {
	file string // empty where it was there already
	mark string // name below photos/ that tells the next Open to look for it
}

// stow puts a photo in its place, unless it is there whole. The write lock must
// be held. A mark stays until the tray is stored, by which Open knows that a
// program was ended in between.
func (s *Season) stow(file string, photo []byte) (stowed, error) {
	root, err := s.folder(photosName)
	if err != nil {
		return stowed{}, err
	}
	defer root.Close()
	row := photoRow{file: file, hash: hashOf(photo), bytes: int64(len(photo))}
	if readPhoto(io.Discard, root, row) == nil {
		return stowed{}, nil
	}
	where := s.photoPath(file)
	switch err := root.Mkdir(path.Dir(file), 0o777); {
	case err == nil:
		if err := syncFolders(s.photos()); err != nil {
			return stowed{}, err
		}
	case !errors.Is(err, fs.ErrExist):
		return stowed{}, fileError(where, err)
	}
	st := stowed{file: file, mark: halfWritten + randomName()}
	if err := writeMarked(root, st, photo); err != nil {
		err = fileError(where, err)
		root.Remove(st.mark)
		return stowed{}, err
	}
	return st, syncFolders(filepath.Dir(where))
}

// writeMarked writes a photo under its mark and gives it its name besides.
func writeMarked(root *os.Root, st stowed, photo []byte) error {
	f, err := root.OpenFile(st.mark, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = io.Copy(f, bytes.NewReader(photo))
	if err == nil {
		err = f.Sync()
	}
	if err := errors.Join(err, f.Close()); err != nil {
		return err
	}
	if root.Link(st.mark, filepath.FromSlash(st.file)) == nil {
		return nil
	}
	// There is something of that name, or the disk knows no links.
	return root.Rename(st.mark, filepath.FromSlash(st.file))
}

// settle takes the mark of a photo away once its tray is stored.
func (s *Season) settle(st stowed) {
	if st.mark == "" {
		return
	}
	if root, err := s.folder(photosName); err == nil {
		root.Remove(st.mark) // what is left is taken away by the next Open
		root.Close()
	}
}

// takeBack removes the photo of a tray that could not be stored. Another
// program may have stored it meanwhile; then it stays.
func (s *Season) takeBack(ctx context.Context, st stowed) error {
	return s.write(context.WithoutCancel(ctx), func(w writer) error {
		defer s.settle(st)
		known, err := w.photoRows()
		if _, ok := known[st.file]; ok || err != nil {
			return err
		}
		root, err := s.folder(photosName)
		if err != nil {
			return err
		}
		defer root.Close()
		if err := root.Remove(filepath.FromSlash(st.file)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fileError(s.photoPath(st.file), err)
		}
		return nil
	})
}

// Photo gives the bytes of the photo with this SHA-256, in hexadecimal. Bytes
// that are no longer those that were stored are refused.
func (s *Season) Photo(ctx context.Context, hash string) ([]byte, error) {
	var row photoRow
	err := s.read(ctx, func(r reader) error {
		tray, err := r.tray(hash)
		row = photoRow{file: tray.file, hash: hash, bytes: tray.bytes}
		return err
	})
	if err != nil {
		return nil, err
	}
	root, err := s.folder(photosName)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	var photo bytes.Buffer
	err = readPhoto(&photo, root, row)
	if errors.Is(err, errNoFile) || errors.Is(err, errOtherPhoto) {
		return nil, refuse("%s: %w: %w; put the file of the last backup in its place", s.photoPath(row.file), ErrDamaged, err)
	}
	if err != nil {
		return nil, fileError(s.photoPath(row.file), err)
	}
	return photo.Bytes(), nil
}

// photoRow is what the database says of a photo.
type photoRow struct {
	file, hash string
	bytes      int64
}

// photoRows gives the photos of all trays by their files.
func (r reader) photoRows() (map[string]photoRow, error) {
	rows := map[string]photoRow{}
	err := r.each(func(scan func(...any) error) error {
		var row photoRow
		err := scan(&row.file, &row.hash, &row.bytes)
		rows[row.file] = row
		return err
	}, "SELECT file, hash, bytes FROM tray")
	return rows, err
}

// wrong says what is wrong with a photo, from what reading it told; empty when
// all is well.
func (row photoRow) wrong(err error) string {
	switch {
	case !placeRight(row.file, row.hash):
		return fmt.Sprintf("no photo can be in %q", row.file)
	case err == nil:
		return ""
	case errors.Is(err, fs.ErrNotExist):
		return "the photo is missing"
	case errors.Is(err, errNoFile), errors.Is(err, errOtherPhoto):
		return err.Error()
	}
	return "the photo cannot be read: " + err.Error()
}
