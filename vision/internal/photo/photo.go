package photo

import (
	"context"
	"fmt"
	"runtime"
	"time"

	"gocv.io/x/gocv"
)

// Photo is a photo the right way up, no larger than asked for.
type Photo struct {
	Width, Height int       // of the upright full-size photo, pixels
	Taken         time.Time // as the camera's clock had it, in UTC for want of a zone; zero when the photo does not say
	Pix           []byte    // BGR, 3 bytes a pixel, row by row without padding: 3*Cols*Rows bytes
	Cols, Rows    int       // size of Pix
	Scale         float64   // full-size pixels per pixel of Pix, 1 or more
	Damaged       bool      // it seems to be damaged, though it could be decoded whole
}

// Mat copies Pix into an 8-bit BGR Mat of Rows x Cols, which the caller closes.
func (p Photo) Mat() (gocv.Mat, error) {
	if p.Cols <= 0 || p.Rows <= 0 || len(p.Pix) != 3*p.Cols*p.Rows {
		return gocv.Mat{}, fmt.Errorf("a picture of %d bytes is not %d x %d px of 3 bytes", len(p.Pix), p.Cols, p.Rows)
	}
	// NewMatFromBytes only borrows the slice; the clone owns its pixels.
	view, err := gocv.NewMatFromBytes(p.Rows, p.Cols, gocv.MatTypeCV8UC3, p.Pix)
	if err != nil {
		return gocv.Mat{}, err
	}
	defer view.Close()
	m := view.Clone()
	runtime.KeepAlive(p.Pix)
	return m, nil
}

// Limits says how much is decoded.
type Limits struct {
	// MaxPixels is the most pixels that a photo may have; more is refused before decoding.
	MaxPixels int
	// TargetLong is the long side that is wanted of Pix, pixels. Larger photos are
	// reduced to it, smaller ones are left as they are; 0 reduces nothing.
	TargetLong int
}

// MinSide is the shortest side that a tray photo can have, pixels.
const MinSide = 64

// heicMinSide is MinSide for HEIC: below it the decoder gives rows of another
// length than its Go part reckons with, and the colours come out shifted.
const heicMinSide = 128

// maxSide is what OpenCV decodes at most (CV_IO_MAX_IMAGE_WIDTH and _HEIGHT): beyond it the
// process would be ended, so it is checked here whatever the limit.
const maxSide = 1 << 20

// maxPixels is OpenCV's own bound (CV_IO_MAX_IMAGE_PIXELS), checked for the same reason.
const maxPixels = 1 << 30

// Header is what a photo's bytes say about it without decoding.
type Header struct {
	Format        Format
	Width, Height int       // before Orientation is applied, pixels
	Orientation   int       // EXIF orientation that is still to be applied, 1 to 8; always 1 for HEIC, whose decoder turns
	Taken         time.Time // see Photo.Taken

	// What decoding holds, whatever it is reduced to: so many bytes, and so many for a pixel.
	fixed, bytes int
	heif         heifItems
}

// Upright gives width and height after Orientation is applied, pixels.
func (h Header) Upright() (width, height int) {
	return turnedSize(h.Width, h.Height, h.Orientation)
}

// Info reads the header of a photo and follows its structure to the end without
// decoding it. Bytes that are no photo, cut short or damaged give ErrNotPhoto,
// ErrCutShort or ErrDamaged.
func Info(b []byte) (Header, error) {
	format, err := sniff(b)
	if err != nil {
		return Header{}, err
	}
	h, exif, err := walkers[format](b)
	if err != nil {
		return Header{}, err
	}
	tags := readEXIF(exif)
	h.Orientation, h.Taken = tags.orientation, tags.taken
	if format == HEIC {
		h.Orientation = 1
	}
	return h, nil
}

// walkers follow the structure of each format to its end and give the header
// and the TIFF structure of the EXIF block, nil when there is none.
var walkers = map[Format]func([]byte) (Header, []byte, error){
	JPEG: walkJPEG,
	PNG:  walkPNG,
	WebP: walkWebP,
	HEIC: walkHEIC,
}

// Load decodes a photo upright and reduced to limits.TargetLong. It refuses
// before decoding what Info refuses, ErrTooSmall and ErrTooLarge. Where decoding
// would take more memory than is free of those that decode at the same time, it waits for them. It
// ends with the context's error when that is done.
func Load(ctx context.Context, b []byte, limits Limits) (Photo, error) {
	h, err := Info(b)
	if err != nil {
		return Photo{}, err
	}
	if err := limits.check(h); err != nil {
		return Photo{}, err
	}
	release, err := reserve(ctx, h, limits.TargetLong)
	if err != nil {
		return Photo{}, err
	}
	defer release()
	p, err := decode(ctx, b, h, limits.TargetLong)
	if err != nil {
		return Photo{}, err
	}
	p.Pix, p.Cols, p.Rows = upright(p.Pix, p.Cols, p.Rows, h.Orientation)
	p.Width, p.Height = turnedSize(p.Width, p.Height, h.Orientation)
	p.Taken = h.Taken
	return p, nil
}

func (l Limits) check(h Header) error {
	least := MinSide
	if h.Format == HEIC {
		least = heicMinSide
	}
	if h.Width < least || h.Height < least {
		return fmt.Errorf("%w: %d x %d px, %d px a side is the least; %s", ErrTooSmall, h.Width, h.Height, least, sendPhoto)
	}
	limit := min(l.MaxPixels, maxPixels)
	// Compared by division, so that no product can overflow.
	if h.Width > maxSide || h.Height > maxSide || h.Width > limit/h.Height {
		return fmt.Errorf("%w: %d x %d px are %.1f megapixels and the limit is %.1f; set the camera to a smaller photo size",
			ErrTooLarge, h.Width, h.Height, float64(h.Width)*float64(h.Height)/1e6, float64(limit)/1e6)
	}
	return nil
}
