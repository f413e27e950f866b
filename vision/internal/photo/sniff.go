package photo

import (
	"bytes"
	"unicode/utf8"
)

// Format is the file format of a photo.
type Format int

// The formats that are read.
const (
	JPEG Format = iota + 1
	PNG
	WebP
	HEIC
)

// String is the format's usual name.
func (f Format) String() string {
	switch f {
	case JPEG:
		return "JPEG"
	case PNG:
		return "PNG"
	case WebP:
		return "WebP"
	case HEIC:
		return "HEIC"
	}
	return "unknown format"
}

const (
	saveAsJPEG = "save it as JPEG or PNG"
	takeStill  = "take a still photo of the tray"
	sendPhoto  = "send the photo of the tray as the phone saved it"
)

// foreign lists what else people hand in, by the bytes it starts with at an offset.
var foreign = []struct {
	at           int
	magic        string
	what, remedy string
}{
	{0, "GIF8", "this is a GIF, which has too few colours to measure", sendPhoto},
	{0, "BM", "this is a BMP picture", saveAsJPEG},
	{0, "II*\x00", "this is a TIFF or raw camera picture", saveAsJPEG},
	{0, "MM\x00*", "this is a TIFF or raw camera picture", saveAsJPEG},
	{0, "II+\x00", "this is a TIFF picture", saveAsJPEG},
	{0, "MM\x00+", "this is a TIFF picture", saveAsJPEG},
	{0, "\x00\x00\x00\x0cJXL ", "this is a JPEG XL picture", saveAsJPEG},
	{0, "\xff\x0a", "this is a JPEG XL picture", saveAsJPEG},
	{0, "\x00\x00\x00\x0cjP  ", "this is a JPEG 2000 picture", saveAsJPEG},
	{0, "%PDF-", "this is a PDF document", sendPhoto},
	{0, "PK\x03\x04", "this is a zip archive or an office document", "unpack it and send the photo itself"},
	{0, "\x1f\x8b", "this is a compressed archive", "unpack it and send the photo itself"},
	{0, "\x1aE\xdf\xa3", "this is a video", takeStill},
	{0, "FLV\x01", "this is a video", takeStill},
	{8, "AVI ", "this is a video", takeStill},
	{8, "WAVE", "this is a sound recording", sendPhoto},
	{0, "ID3", "this is a sound recording", sendPhoto},
}

// sniff tells the format by content, never by a file's name, and refuses what
// is not a photo by what it is.
func sniff(b []byte) (Format, error) {
	switch {
	case len(b) == 0:
		return 0, notPhoto("the file is empty", copyAgain)
	case bytes.HasPrefix(b, []byte("\xff\xd8\xff")):
		return JPEG, nil
	case bytes.HasPrefix(b, []byte(pngSignature)):
		return PNG, nil
	case has(b, 0, "RIFF") && has(b, 8, "WEBP"):
		return WebP, nil
	case has(b, 4, "ftyp"):
		return sniffISOMedia(b)
	}
	for _, f := range foreign {
		if has(b, f.at, f.magic) {
			return 0, notPhoto(f.what, f.remedy)
		}
	}
	if isText(b) {
		return 0, notPhoto("this is text", sendPhoto)
	}
	return 0, notPhoto("the file is none of JPEG, PNG, WebP and HEIC", sendPhoto)
}

func has(b []byte, at int, magic string) bool {
	return len(b) >= at+len(magic) && string(b[at:at+len(magic)]) == magic
}

// isText is true where the first bytes are UTF-8 without control characters.
func isText(b []byte) bool {
	if len(b) > 512 {
		b = b[:512]
		for n := 0; n < utf8.UTFMax-1 && !utf8.Valid(b); n++ {
			b = b[:len(b)-1]
		}
	}
	if !utf8.Valid(b) {
		return false
	}
	return !bytes.ContainsFunc(b, func(r rune) bool {
		return r < ' ' && r != '\n' && r != '\r' && r != '\t'
	})
}
