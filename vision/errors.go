package vision

import "errors"

// ErrNoHalves is the answer to a photo on which no cut half was found.
var ErrNoHalves = errors.New("no cut and stained halves found on this photo")

// ErrNoColour is the answer to a black and white photo.
var ErrNoColour = errors.New("the photo is black and white, which does not tell stain from shadow; photograph in colour, without a filter")
