package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"sync"

	"traystage/refimages/painter"
)

// cache remembers painted photos in a folder, since painting one takes far longer than
// measuring it. What the painter or a spec makes different has another name; the
// folder may be deleted at any time.
type cache struct{ dir string } // "" for none

// paint gives the photo of a spec and its truth.
func (c cache) paint(spec painter.Spec) ([]byte, painter.Truth, error) {
	source, err := painterSource()
	if c.dir == "" || err != nil {
		img, truth := painter.Tray(spec)
		return painter.EncodeJPEG(img, spec.Meta()), truth, nil
	}
	hash := sha256.Sum256(fmt.Appendf(nil, "%s %+v", source, spec))
	name := filepath.Join(c.dir, hex.EncodeToString(hash[:12]))
	if data, truth, err := recall(name); err == nil {
		return data, truth, nil
	}
	data, truth, _ := cache{}.paint(spec)
	return data, truth, c.keep(name, data, truth)
}

func recall(name string) ([]byte, painter.Truth, error) {
	var truth painter.Truth
	text, err := os.ReadFile(name + ".json")
	if err != nil {
		return nil, truth, err
	}
	if err := json.Unmarshal(text, &truth); err != nil {
		return nil, truth, err
	}
	data, err := os.ReadFile(name + ".jpg")
	return data, truth, err
}

// keep writes the truth last: a photo without it is not there.
func (c cache) keep(name string, data []byte, truth painter.Truth) error {
	if err := os.MkdirAll(c.dir, 0o777); err != nil {
		return err
	}
	text, err := json.Marshal(truth)
	if err != nil {
		return err
	}
	if err := os.WriteFile(name+".jpg", data, 0o666); err != nil {
		return err
	}
	return os.WriteFile(name+".json", text, 0o666)
}

// painterSource is a digest of the painter's code, seen from the top folder.
var painterSource = sync.OnceValues(func() (string, error) {
	files, err := filepath.Glob("refimages/painter/*.go")
	if err == nil && files == nil {
		err = os.ErrNotExist
	}
	hash := sha256.New()
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			return "", err
		}
		hash.Write(data)
	}
	return hex.EncodeToString(hash.Sum(nil)), err
})
