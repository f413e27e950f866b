package photo

// upright turns a picture of 3 bytes a pixel as EXIF orientation o (1 to 8)
// asks and gives the new picture and its size. Orientations 5 to 8 swap the sides.
// Source: Exif 2.32 (CIPA DC-008, 2019), tag Orientation.
func upright(pix []byte, cols, rows, o int) ([]byte, int, int) {
	if o <= 1 || o > 8 {
		return pix, cols, rows
	}
	outCols, outRows := turnedSize(cols, rows, o)
	out := make([]byte, len(pix))
	// Walking the output row by row, the source moves from first by alongX for
	// each column and by alongY for each row.
	first, alongX, alongY := sourceSteps(cols, rows, o)
	for y, at := 0, 0; y < outRows; y++ {
		src := first + y*alongY
		for x := 0; x < outCols; x++ {
			copy(out[at:at+3], pix[3*src:3*src+3])
			at += 3
			src += alongX
		}
	}
	return out, outCols, outRows
}

// turnedSize gives the sides after turning.
func turnedSize(cols, rows, o int) (int, int) {
	if o >= 5 {
		return rows, cols
	}
	return cols, rows
}

// sourceSteps says, in pixels of the row-major source, where the upright
// picture's first pixel lies and how far its neighbours to the right and below are.
func sourceSteps(cols, rows, o int) (first, alongX, alongY int) {
	right, bottom := cols-1, cols*(rows-1)
	switch o {
	case 2: // mirrored left to right
		return right, -1, cols
	case 3: // half a turn
		return bottom + right, -1, -cols
	case 4: // mirrored top to bottom
		return bottom, 1, -cols
	case 5: // mirrored about the main diagonal
		return 0, cols, 1
	case 6: // to be turned clockwise by a quarter
		return bottom, -cols, 1
	case 7: // mirrored about the other diagonal
		return bottom + right, -cols, -1
	case 8: // to be turned anticlockwise by a quarter
		return right, cols, -1
	}
	return 0, 1, cols
}
