package vision

import "errors"

// ErrNoHalves is the answer to a photo on which no cut half was found.
var ErrNoHalves = errors.New("no cut and stained halves found on this photo")
