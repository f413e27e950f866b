package photo

import (
	"bytes"
	"strings"
	"time"

	"github.com/bep/imagemeta"
)

// exifTags are the few tags that matter here.
type exifTags struct {
	orientation int // 1 to 8; 1 when missing or out of range
	taken       time.Time
}

// Tag names as imagemeta has them: what EXIF calls DateTime it calls ModifyDate.
const (
	tagOrientation = "Orientation"
	tagOriginal    = "DateTimeOriginal"
	tagDateTime    = "ModifyDate"
)

// Limits on what is read from an EXIF block: phones write some 60 to 150 tags
// into less than the 64 KiB that a JPEG's segment holds.
const (
	maxBlock   = 1 << 20
	maxTags    = 2000
	maxTagSize = 1024
)

// readEXIF reads the tags from the TIFF structure of an EXIF block. Missing or
// broken EXIF is no error: what was read up to the break counts.
func readEXIF(b []byte) exifTags {
	tags := exifTags{orientation: 1}
	if len(b) == 0 || len(b) > maxBlock {
		return tags
	}
	var original, changed time.Time
	collect := func(t imagemeta.TagInfo) error {
		switch t.Tag {
		case tagOrientation:
			if o, ok := t.Value.(uint16); ok && 1 <= o && o <= 8 {
				tags.orientation = int(o)
			}
		case tagOriginal:
			original = parseTime(t.Value)
		case tagDateTime:
			changed = parseTime(t.Value)
		}
		return nil
	}
	_, _ = imagemeta.Decode(imagemeta.Options{
		R:               bytes.NewReader(b),
		ImageFormat:     imagemeta.TIFF,
		Sources:         imagemeta.EXIF,
		ShouldHandleTag: wanted,
		HandleTag:       collect,
		LimitNumTags:    maxTags,
		LimitTagSize:    maxTagSize,
	})
	tags.taken = original
	if original.IsZero() {
		tags.taken = changed
	}
	return tags
}

// wanted leaves out the thumbnail's tags (IFD1), which may differ from the photo's.
func wanted(t imagemeta.TagInfo) bool {
	if !strings.HasPrefix(t.Namespace, "IFD0") {
		return false
	}
	return t.Tag == tagOrientation || t.Tag == tagOriginal || t.Tag == tagDateTime
}

// parseTime reads an EXIF date. Cameras that do not know the time write zeros or
// blanks, and dates before digital cameras are a clock that was never set: both
// are the zero time.
func parseTime(v any) time.Time {
	s, ok := v.(string)
	if !ok {
		return time.Time{}
	}
	t, err := time.Parse("2006:01:02 15:04:05", strings.Trim(s, " \x00"))
	if err != nil || t.Year() < 1990 {
		return time.Time{}
	}
	return t
}
