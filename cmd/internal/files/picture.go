package files

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// drawn is the comment in pictures that the program drew. Only files that begin with it are
// replaced by others of their name: whatever else is there may be somebody's photo.
const drawn = "drawn by traystage"

// ErrNotDrawn says that a file of the name is there which the program did not draw.
var ErrNotDrawn = errors.New("is there already and was not drawn by traystage")

// WritePicture writes a JPEG that the program drew, whole or not at all, in place of an earlier
// one. It is ErrNotDrawn where anything else has its name.
func WritePicture(path string, jpeg []byte) error {
	if err := sparePicture(path); err != nil {
		return err
	}
	return Write(path, append(sign(), jpeg[2:]...))
}

// sign is how a signed JPEG begins: its mark and the comment.
func sign() []byte {
	return append(binary.BigEndian.AppendUint16([]byte{0xff, 0xd8, 0xff, 0xfe}, uint16(2+len(drawn))), drawn...)
}

// sparePicture is ErrNotDrawn where a file is there that the program did not draw.
func sparePicture(path string) error {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err == nil {
		defer f.Close()
		head := make([]byte, len(sign()))
		if _, err := io.ReadFull(f, head); err == nil && bytes.Equal(head, sign()) {
			return nil
		}
	}
	return fmt.Errorf("%s: %w; move it, or choose another name or folder", path, ErrNotDrawn)
}
