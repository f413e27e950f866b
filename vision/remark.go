package vision

import "traystage/vision/note"

// Codes of remarks: something about a photo or a half that makes its numbers less
// sure. What they say, and what the photographer can do about it, stands in
// package scoring/words.
const (
	// RemarkGlare: light glances off the face.
	RemarkGlare note.Code = "photo.glare"
	// RemarkBlurred: the face is out of focus or the camera moved.
	RemarkBlurred note.Code = "photo.blurred"
	// RemarkSmall: too few pixels across the face.
	RemarkSmall note.Code = "photo.small"
	// RemarkCore: the core in the middle of the face cannot be made out.
	RemarkCore note.Code = "photo.core"
	// RemarkOutline: the edge of the face could not be followed all round.
	RemarkOutline note.Code = "photo.outline"
	// RemarkFaint: much of the flesh lies near the threshold between clear and stained.
	RemarkFaint note.Code = "photo.faint"
	// RemarkBrowned: browning that is not stain.
	RemarkBrowned note.Code = "photo.browned"
	// RemarkNoClear: no clear flesh on the whole tray to compare with.
	RemarkNoClear note.Code = "photo.no_clear"
	// RemarkEdge: the edge of a shadow lies on the face.
	RemarkEdge note.Code = "photo.edge"
	// RemarkDim: it is darker than the others: stained all over, or seen in less light.
	RemarkDim note.Code = "photo.dim"
	// RemarkCounted: it is taken for a half as so many were counted.
	RemarkCounted note.Code = "photo.counted"
	// RemarkClipped: the half is cut off by the edge of the photo.
	RemarkClipped note.Code = "photo.clipped"
	// RemarkSuspects: n places on the photo may hold a half but have no number.
	RemarkSuspects note.Code = "photo.suspects"
	// RemarkUncut: n more such places look like fruit cut through stem and calyx, or not cut at all.
	RemarkUncut note.Code = "photo.uncut"
	// RemarkDamaged: the photo changes its brightness or hue along a line, as it does
	// where bytes are wrong.
	RemarkDamaged note.Code = "photo.damaged"
	// RemarkDark: the photo is so dark that stain and shadow are hard to tell apart.
	RemarkDark note.Code = "photo.dark"
)
