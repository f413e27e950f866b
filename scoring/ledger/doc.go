// Package ledger keeps a season: its blocks, samples, tray photos, calls,
// reviews, readings and instrument checks.
//
// A season is one folder:
//
//	season.db     a SQLite database
//	photos/       every tray photo, named by the SHA-256 of its bytes
//	refs/         reference sets; the command keeps them
//	unfinished/   photos whose tray was not stored to the end; seldom there
//
// Create makes one, Open opens one. From there:
//
//  1. AddBlock, AddSample name what is picked and what was taken from it.
//  2. StoreTray keeps a photo and what was measured and called on it, and numbers
//     its fruit.
//  3. Review, EnterReadings, AddCheck, PickBlock add what people found and did;
//     Set and PutSheet what holds for the season; PairDevice who may use the desk.
//  4. MoveTray, RenumberTray, ReviseTray, ChangeSample, MergeSamples, MoveBatch put
//     right what was entered in the wrong place; StrikeTray, StrikeSample,
//     StrikeBatch, StrikeReadings, StrikeCheck, UndoReview, UndoPick, RetireBlock
//     and RevokeDevice take it back, and the Restore methods put that back.
//  5. Load gives a block's samples with all that counts now, LoadAll those of
//     all blocks as far as an outlook needs them, History everything that was
//     ever written about one fruit.
//  6. Check looks for damage, Backup makes a second folder.
//
// Nothing is changed or deleted: a change, a correction and a second opinion
// are new rows, of which the last counts, each with the time and the initials
// of who wrote it. The database itself refuses anything else.
//
// With keeps beside a write what it insisted on, and the name of the sending that
// it came in: what is sent twice is written once, and answered alike.
//
// A tray is stored whole or not at all, also when power fails. The photo is
// written beside its place, synced, renamed and its folder synced, then all
// rows are committed at once; all of it under the database's write lock, so
// that whoever holds that lock knows that nobody is in between. What an ended
// program left in between is cleared away when the season is next opened.
//
// Several programs may work on one season at once, on one machine: each write
// waits for its turn. A season does not belong on a network share, where SQLite's
// locks cannot be trusted.
//
// Errors name the file, what is wrong and what to do. Days are midnight UTC;
// times that come out are UTC.
package ledger
