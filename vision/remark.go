package vision

// Remark is a quality flag: something about a photo or a half that makes its
// numbers less sure. Text and Advice say it in words.
type Remark int

const (
	// RemarkGlare: light glances off the face.
	RemarkGlare Remark = iota + 1
	// RemarkBlurred: the face is out of focus or the camera moved.
	RemarkBlurred
	// RemarkSmall: too few pixels across the face.
	RemarkSmall
	// RemarkCore: the core in the middle of the face cannot be made out.
	RemarkCore
	// RemarkOutline: the edge of the face could not be followed all round.
	RemarkOutline
	// RemarkFaint: much of the flesh lies near the threshold between clear and stained.
	RemarkFaint
	// RemarkBrowned: browning that is not stain.
	RemarkBrowned
	// RemarkNoClear: no clear flesh on the whole tray to compare with.
	RemarkNoClear
	// RemarkClipped: the half is cut off by the edge of the photo.
	RemarkClipped
	// RemarkDark: the photo is so dark that stain and shadow are hard to tell apart.
	RemarkDark
)

type remarkText struct{ text, advice string }

// remarkTexts is the one table of what each remark says and what the
// photographer can do about it.
var remarkTexts = map[Remark]remarkText{
	RemarkGlare:   {"glare hides part of the face", "turn off the flash or shade the tray from the lamp"},
	RemarkBlurred: {"the face is blurred", "hold the phone still and tap the tray to focus"},
	RemarkSmall:   {"the face is small on the photo", "move nearer, or photograph half the tray at a time"},
	RemarkCore:    {"the core is not seen clearly", "cut across the middle of the fruit and keep fingers and knife off the faces"},
	RemarkOutline: {"the edge of the face is unclear", "use a tray of another colour and keep halves apart"},
	RemarkFaint:   {"the stain is faint", "wait a minute longer after staining, then photograph again"},
	RemarkBrowned: {"the flesh has browned", "photograph within a few minutes of cutting"},
	RemarkNoClear: {"the tray shows no clear flesh to compare with", "put one well cleared half on the tray"},
	RemarkClipped: {"the photo cuts the half off", "step back until every half is inside the frame"},
	RemarkDark:    {"the photo is very dark", "photograph in daylight or under a second lamp"},
}

// Text says what is the matter, without capital or full stop.
func (r Remark) Text() string { return remarkTexts[r].text }

// Advice says what the photographer can do about it.
func (r Remark) Advice() string { return remarkTexts[r].advice }

// String is Text, so that a remark prints as words.
func (r Remark) String() string { return r.Text() }
