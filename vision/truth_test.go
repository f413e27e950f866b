package vision

import (
	"encoding/json"
	"errors"
	"image"
	_ "image/jpeg"
	"os"
	"path/filepath"
	"testing"

	"traystage/refimages/painter"
)

var trays = filepath.Join("..", "testdata", "trays")

func bytesOf(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(trays, filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// truthOf reads the truth of a kept photo: that of a painted one lies beside it,
// that of the traced ones in one list.
func truthOf(t testing.TB, name string) painter.Truth {
	t.Helper()
	var one painter.Truth
	b, err := os.ReadFile(filepath.Join(trays, filepath.FromSlash(name[:len(name)-len(".jpg")])+".json"))
	if err == nil {
		if err := json.Unmarshal(b, &one); err != nil {
			t.Fatal(err)
		}
		return one
	}
	if !errors.Is(err, os.ErrNotExist) {
		t.Fatal(err)
	}
	var list struct{ Images []painter.Truth }
	folder, file := filepath.Split(name)
	if err := json.Unmarshal(bytesOf(t, folder+"truth.json"), &list); err != nil {
		t.Fatal(err)
	}
	for _, one := range list.Images {
		if one.File == file {
			return one
		}
	}
	t.Fatalf("no truth of %s", name)
	return one
}

func measured(t testing.TB, photo []byte) Tray {
	t.Helper()
	tray, err := Measure(photo, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return tray
}

// decoded is a kept photo whose stored pixels are upright.
func decoded(t testing.TB, name string) image.Image {
	t.Helper()
	f, err := os.Open(filepath.Join(trays, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, _, err := image.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return img
}
