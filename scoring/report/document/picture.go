package document

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html/template"
	"image"
	_ "image/jpeg" // pictures are JPEG
	_ "image/png"  // or PNG
)

// Picture is one picture ready to stand in a page.
type Picture struct {
	URL           template.URL
	Width, Height int // pixels
}

// NewPicture packs a picture into a data URL; nil for none. what names it in
// errors.
func NewPicture(raw []byte, what string) (*Picture, error) {
	if len(raw) == 0 {
		return nil, nil
	}
	size, format, err := pictureSize(raw, what)
	if err != nil {
		return nil, err
	}
	data := "data:image/" + format + ";base64," + base64.StdEncoding.EncodeToString(raw)
	return &Picture{URL: template.URL(data), Width: size.Width, Height: size.Height}, nil
}

func pictureSize(raw []byte, what string) (size image.Config, format string, err error) {
	size, format, err = image.DecodeConfig(bytes.NewReader(raw))
	if err != nil {
		return image.Config{}, "", fmt.Errorf("picture of %s: not a JPEG or PNG: %w", what, err)
	}
	return size, format, nil
}
