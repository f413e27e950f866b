// Package workbench is what people do with photos, reference sets and seasons:
// plain arguments in, values out. The command and the desk are its two doors; they
// read flags and forms, call a verb of a Bench and show what it gives.
//
// A Bench is one open season with its reference sets, a clock and a way to measure
// photos; Open makes one. Without a season it can still score photos and keep
// sets. It prints nothing, reads no flag and no environment, and may be used by
// several goroutines at once. Each verb takes a context first.
//
//	photos     Scorer, Scorer.Score, Scorer.Each; Intake, Intake.Keep; Store
//	trays      Trays, Tray, MoveTray, StrikeTray, RestoreTray, RenumberTray, StrikeHalves
//	samples    Sample, ChangeSample, StrikeSample, RestoreSample
//	reviews    Review, UndoReview
//	readings   ReadSheets, Typed.Reading, EnterReadings, Batches, StrikeReadings,
//	           StrikeSheet, RestoreSheet, MoveSheet; AddCheck, Checks, StrikeCheck
//	blocks     AddBlock, ChangeBlock, Blocks, PickBlock, UndoPick, RetireBlock
//	decisions  Report, Outlook, Plan, Overlays
//	sets       NewSet, Grade, CheckSet, Convert, Adopt, Sets; Shelf.Set
//	standards  Standards, StandardsTable, UseStandards
//	season     NewSeason, Backup, CheckSeason, History, Orchard, Settings, Set
//
// Whatever writes takes an Act: who does it, by what name it was sent, and why it is
// to be done although the bench objects. What looks like a slip is a Refusal, a list
// of notes to be shown in the reader's language; done again with Act.Anyway it is
// written, with the objections and the reason beside it.
//
// Errors are those of package fault: wrong use, an error with a hint, several at
// once; any other says that something could not be done. They name the photo, file
// or block, then what is wrong and what to do.
package workbench
