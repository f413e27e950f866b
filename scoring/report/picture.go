package report

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html/template"
	"image"
	_ "image/jpeg" // pictures are JPEG
	_ "image/png"  // or PNG

	"traystage/calibrate"
)

// Pictures are what a page shows beside the figures, each the bytes of a JPEG
// or PNG. Any may be missing: the page then does without.
type Pictures struct {
	Overlay []byte            // the whole tray with outlines, numbers and stages drawn in
	Crops   map[int][]byte    // each half, by its number
	Plates  []calibrate.Plate // of the reference set: Picture is shown beside the calls it brackets
}

// picture is one picture ready to stand in a page.
type picture struct {
	URL           template.URL
	Width, Height int // pixels
}

// newPicture packs a picture into a data URL; nil for none. what names it in
// errors.
func newPicture(raw []byte, what string) (*picture, error) {
	if len(raw) == 0 {
		return nil, nil
	}
	size, format, err := image.DecodeConfig(bytes.NewReader(raw))
	if err != nil {
		return nil, fmt.Errorf("picture of %s: not a JPEG or PNG: %w", what, err)
	}
	data := "data:image/" + format + ";base64," + base64.StdEncoding.EncodeToString(raw)
	return &picture{URL: template.URL(data), Width: size.Width, Height: size.Height}, nil
}
