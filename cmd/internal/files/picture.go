package files

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"html"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// drawn is the comment in pictures that the program drew. Only files with it are replaced by
// others of their name: whatever else is there may be somebody's photo.
const drawn = "drawn by traystage"

// ErrNotDrawn says that a file of the name is there which nobody can tell to be the program's.
var ErrNotDrawn = errors.New("is there already, and nothing in it tells that traystage drew it")

// WritePicture writes a JPEG or PNG that the program drew, whole or not at all, in place of an
// earlier one. It is ErrNotDrawn where anything else has its name; what a report shows that the
// program wrote beside it, it drew.
func WritePicture(path string, picture []byte, reports ...string) error {
	if err := SparePicture(path, reports...); err != nil {
		return err
	}
	at, comment := signature(picture)
	if at == 0 {
		return fmt.Errorf("%s: is to be neither JPEG nor PNG", path)
	}
	return Write(path, bytes.Join([][]byte{picture[:at], comment, picture[at:]}, nil))
}

// signature is the comment as it stands in a picture of this beginning, and where; 0 in anything
// but JPEG and PNG.
func signature(picture []byte) (at int, comment []byte) {
	const header = 33 // bytes of a PNG's first mark and chunk, which must come first
	switch {
	case bytes.HasPrefix(picture, []byte("\xff\xd8")):
		return 2, append(binary.BigEndian.AppendUint16([]byte("\xff\xfe"), uint16(2+len(drawn))), drawn...)
	case bytes.HasPrefix(picture, []byte("\x89PNG\r\n\x1a\n")) && len(picture) > header:
		chunk := "tEXtComment\x00" + drawn
		comment = append(binary.BigEndian.AppendUint32(nil, uint32(len(chunk)-len("tEXt"))), chunk...)
		return header, binary.BigEndian.AppendUint32(comment, crc32.ChecksumIEEE([]byte(chunk)))
	}
	return 0, nil
}

// SparePicture is ErrNotDrawn where a file is there that the program did not draw.
func SparePicture(path string, reports ...string) error {
	if _, err := os.Lstat(path); err != nil {
		return nil // nothing to spare
	}
	if drew(path) || shown(path, reports) {
		return nil
	}
	return fmt.Errorf("%s: %w; move it, or choose another name or folder", path, ErrNotDrawn)
}

// drew says whether a file has the comment of the program's pictures.
func drew(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	var head [256]byte
	n, _ := io.ReadFull(f, head[:])
	at, comment := signature(head[:n])
	return at > 0 && bytes.HasPrefix(head[at:n], comment)
}

// shown says whether a report holds the picture of a file: the program wrote both before its
// pictures had a comment.
func shown(path string, reports []string) bool {
	for _, report := range reports {
		page, err := os.ReadFile(report)
		if err != nil {
			continue
		}
		picture, err := os.ReadFile(path)
		if err == nil && len(picture) > 0 && strings.Contains(html.UnescapeString(string(page)), ","+base64.StdEncoding.EncodeToString(picture)+`"`) {
			return true
		}
	}
	return false
}

// FreePicture gives the name that a picture can be drawn under: the one given, else, where a file
// of somebody's has it, the first with a number behind it that none has.
func FreePicture(path string, reports ...string) string {
	return freePicture(path, func(path string) bool { return SparePicture(path, reports...) == nil })
}

func freePicture(path string, free func(path string) bool) string {
	const most = 99
	stem, ext := strings.TrimSuffix(path, filepath.Ext(path)), filepath.Ext(path)
	name := path
	for n := 2; !free(name) && n <= most; n++ {
		name = fmt.Sprintf("%s-%d%s", stem, n, ext)
	}
	return name
}
