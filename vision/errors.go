package vision

import (
	"errors"
	"fmt"
)

// ErrNoHalves is the answer to a photo on which no cut half was found.
var ErrNoHalves = errors.New("no cut and stained halves found on this photo")

// ErrPrinted is ErrNoHalves where what looks like halves is as alike as on a printed chart.
var ErrPrinted = fmt.Errorf("%w: what looks like some is as alike in size and shape as on a printed chart", ErrNoHalves)

// ErrNoColour is the answer to a black and white photo.
var ErrNoColour = errors.New("the photo is black and white, which does not tell stain from shadow; photograph in colour, without a filter")
