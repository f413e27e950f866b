package photo

import (
	"errors"
	"fmt"
)

// Refusals that callers may want to tell apart with errors.Is. Each error reads
// as a clause that follows the file's name: what is the matter, then what to do.
var (
	// ErrNotPhoto is the answer to bytes that are no picture, or a picture in
	// a format that phones do not take photos in.
	ErrNotPhoto = errors.New("not a readable photo")
	// ErrTooLarge is the answer to a picture with more pixels than the limit.
	ErrTooLarge = errors.New("too large")
	// ErrTooSmall is the answer to a picture with a side below MinSide.
	ErrTooSmall = errors.New("too small to be a tray photo")
	// ErrCutShort is the answer to a photo whose end is missing.
	ErrCutShort = errors.New("cut short")
	// ErrDamaged is the answer to a photo that contradicts itself or that the decoder gives up on.
	ErrDamaged = errors.New("damaged")
)

const copyAgain = "copy the file from the phone again"

func notPhoto(what, remedy string) error {
	return fmt.Errorf("%w: %s; %s", ErrNotPhoto, what, remedy)
}

func cutShort(f Format, size int, what string) error {
	return fmt.Errorf("%w: the %s ends after %d bytes %s; %s", ErrCutShort, f, size, what, copyAgain)
}

func damaged(f Format, what string) error {
	return fmt.Errorf("%w: the %s %s; %s", ErrDamaged, f, what, copyAgain)
}
