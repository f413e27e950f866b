package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"testing"
	"time"
)

func TestReadEXIF(t *testing.T) {
	day := time.Date(2026, 9, 14, 8, 31, 0, 0, time.UTC)
	const taken, later = "2026:09:14 08:31:00", "2026:09:15 10:00:00"
	big, little := binary.BigEndian, binary.LittleEndian
	whole := exifOf(big, 6, taken, later)
	tests := []struct {
		name        string
		b           []byte
		orientation int
		taken       time.Time
	}{
		{"both dates", whole, 6, day},
		{"little-endian", exifOf(little, 8, taken, later), 8, day},
		{"date of change alone", exifOf(big, 3, "", taken), 3, day},
		{"date alone", exifOf(big, 0, taken, ""), 1, day},
		{"orientation 0", exifOf(big, 0, "", ""), 1, time.Time{}},
		{"orientation 9", exifOf(big, 9, taken, ""), 1, day},
		{"zeros for the original date", exifOf(big, 1, "0000:00:00 00:00:00", taken), 1, day},
		{"zeros", exifOf(big, 1, "0000:00:00 00:00:00", ""), 1, time.Time{}},
		{"blanks", exifOf(big, 1, "    :  :     :  :  ", ""), 1, time.Time{}},
		{"no such day", exifOf(big, 1, "2026:02:30 08:31:00", ""), 1, time.Time{}},
		{"clock never set", exifOf(big, 1, "1980:01:01 00:00:00", ""), 1, time.Time{}},
		{"words", exifOf(big, 1, "yesterday", ""), 1, time.Time{}},
		{"nothing", nil, 1, time.Time{}},
		{"noise", []byte("MM\x00*\xff\xff\xff\xff\xff"), 1, time.Time{}},
		{"too much", append(bytes.Clone(whole), make([]byte, maxBlock)...), 1, time.Time{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := readEXIF(tt.b)
			if got.orientation != tt.orientation || !got.taken.Equal(tt.taken) {
				t.Errorf("orientation %d, taken %v, want %d, %v", got.orientation, got.taken, tt.orientation, tt.taken)
			}
		})
	}
}

// Broken EXIF must not cost the photo.
func TestBrokenEXIFIsNoError(t *testing.T) {
	whole := exifOf(binary.BigEndian, 6, "2026:09:14 08:31:00", "2026:09:15 10:00:00")
	b := jpegOf(t, quadrants(sampleWidth, sampleHeight, uprightCorners))
	for n := range whole {
		if _, err := Info(withEXIF(t, b, whole[:n])); err != nil {
			t.Errorf("EXIF of %d bytes: %v", n, err)
		}
	}
}

func TestTaken(t *testing.T) {
	img := quadrants(sampleWidth, sampleHeight, uprightCorners)
	exif := exifOf(binary.LittleEndian, 1, "2026:09:14 08:31:00", "")
	want := time.Date(2026, 9, 14, 8, 31, 0, 0, time.UTC)
	for name, b := range map[string][]byte{
		"JPEG": withEXIF(t, jpegOf(t, img), exif),
		"PNG":  withEXIF(t, pngOf(t, img), exif),
		"WebP": withEXIF(t, webpOf(t, img, 100), exif),
		"HEIC": sampleHEIC(t),
	} {
		p, err := Load(context.Background(), b, plenty)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if !p.Taken.Equal(want) {
			t.Errorf("%s: taken %v, want %v", name, p.Taken, want)
		}
	}
}
