package files

import (
	"bytes"
	"encoding/base64"
	"errors"
	"html/template"
	"image"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"testing"
)

// What the program drew is drawn anew; anything else of the name is left as it is.
func TestWritePicture(t *testing.T) {
	var asJPEG, asPNG bytes.Buffer
	drawing := image.NewGray(image.Rect(0, 0, 9, 7))
	if err := errors.Join(jpeg.Encode(&asJPEG, drawing, nil), png.Encode(&asPNG, drawing)); err != nil {
		t.Fatal(err)
	}
	for name, picture := range map[string][]byte{"tray_overlay.jpg": asJPEG.Bytes(), "check.png": asPNG.Bytes()} {
		path := filepath.Join(t.TempDir(), name)
		for range 2 {
			if err := WritePicture(path, picture); err != nil {
				t.Fatal(err)
			}
		}
		written, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if img, _, err := image.Decode(bytes.NewReader(written)); err != nil || img.Bounds().Dx() != 9 {
			t.Errorf("%s: the picture cannot be read: %v", name, err)
		}
		for _, own := range [][]byte{picture, []byte("notes"), {}} {
			put(t, path, own)
			if err := WritePicture(path, picture); !errors.Is(err, ErrNotDrawn) {
				t.Errorf("%s, %d bytes: %v", name, len(own), err)
			}
			if there, err := os.ReadFile(path); err != nil || !bytes.Equal(there, own) {
				t.Errorf("%s: the file is another: %v", name, err)
			}
		}
	}
	if err := WritePicture(filepath.Join(t.TempDir(), "text.png"), []byte("notes")); err == nil {
		t.Error("a text was written as a picture")
	}
}

// A picture without the comment was drawn by the program where a report shows it. Where nobody can
// tell, another name is free.
func TestPicturesOfBefore(t *testing.T) {
	dir := t.TempDir()
	page, path := filepath.Join(dir, "tray.html"), filepath.Join(dir, "tray_overlay.jpg")
	picture := []byte("\xff\xd8 not all of a picture +/+/")
	put(t, path, picture)
	second := filepath.Join(dir, "tray_overlay-2.jpg")
	if got := FreePicture(path, page); got != second {
		t.Errorf("without a report %s is free", got)
	}
	var html bytes.Buffer
	url := template.URL("data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(picture))
	if err := template.Must(template.New("").Parse(`<img src="{{.}}">`)).Execute(&html, url); err != nil {
		t.Fatal(err)
	}
	put(t, page, html.Bytes())
	if got := FreePicture(path, page); got != path {
		t.Errorf("what a report shows is not drawn anew, but as %s", got)
	}
	put(t, path, picture[:len(picture)-3])
	put(t, second, nil)
	if got, want := FreePicture(path, page), filepath.Join(dir, "tray_overlay-3.jpg"); got != want {
		t.Errorf("%s is free, want %s", got, want)
	}
}

func put(t *testing.T, path string, text []byte) {
	t.Helper()
	if err := os.WriteFile(path, text, 0o666); err != nil {
		t.Fatal(err)
	}
}
