package vision

const (
	// colourStep is the difference between a pixel's channels, in 8-bit steps,
	// from which it has a colour that is not noise.
	colourStep = 16
	// leastColoured is the share of coloured pixels in a colour photo. Black and
	// white photos have none; the palest of the kept trays has a tenth.
	leastColoured = 0.001
)

// colourless tells a black and white photo by its pixels, three bytes each.
// On it stain and shadow look alike, and every half would read as stained.
func colourless(pix []byte) bool {
	wanted := leastColoured * float64(len(pix)/3) // pixels with a colour
	coloured := 0
	for i := 0; i+2 < len(pix) && float64(coloured) < wanted; i += 3 {
		a, b, c := pix[i], pix[i+1], pix[i+2]
		if max(a, b, c)-min(a, b, c) > colourStep {
			coloured++
		}
	}
	return float64(coloured) < wanted
}
