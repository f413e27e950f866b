package calibrate

import "traystage/vision/note"

// Codes of the reasons to look at a call.
const (
	// CallUnsure: its interval is much wider than is usual with the set.
	CallUnsure note.Code = "call.unsure"
	// CallStraddles: its interval reaches across a stage at which the verdict turns.
	CallStraddles note.Code = "call.straddles"
	// CallNoFlesh: no flesh could be measured.
	CallNoFlesh note.Code = "call.no_flesh"
	// CallUnlike: its pattern is far from that of every plate.
	CallUnlike note.Code = "call.unlike"
	// CallBeforeFirst and CallAfterLast: it lies beyond the plates, where the scale
	// goes on.
	CallBeforeFirst note.Code = "call.before_first"
	CallAfterLast   note.Code = "call.after_last"
	// CallOtherZones, CallZoneMissing and CallSideMissing: its pattern could not be
	// laid beside that of the plates.
	CallOtherZones  note.Code = "call.other_zones"
	CallZoneMissing note.Code = "call.zone_missing"
	CallSideMissing note.Code = "call.side_missing"
)
