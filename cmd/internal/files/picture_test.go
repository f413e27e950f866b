package files

import (
	"bytes"
	"errors"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"
)

// What the program drew is drawn anew; anything else of the name is left as it is.
func TestWritePicture(t *testing.T) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 9, 7)), nil); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "tray_overlay.jpg")
	for range 2 {
		if err := WritePicture(path, b.Bytes()); err != nil {
			t.Fatal(err)
		}
	}
	written, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if img, err := jpeg.Decode(bytes.NewReader(written)); err != nil || img.Bounds().Dx() != 9 {
		t.Errorf("the picture cannot be read: %v", err)
	}
	for _, own := range [][]byte{b.Bytes(), []byte("notes"), {}} {
		if err := os.WriteFile(path, own, 0o666); err != nil {
			t.Fatal(err)
		}
		if err := WritePicture(path, b.Bytes()); !errors.Is(err, ErrNotDrawn) {
			t.Errorf("%d bytes: %v", len(own), err)
		}
		if there, err := os.ReadFile(path); err != nil || !bytes.Equal(there, own) {
			t.Errorf("the file is another: %v", err)
		}
	}
}
