// Package report renders what package scoring found, for people and programs:
//
//   - WriteText, WriteJSON and WriteHTML: the report on one tray photo.
//   - Block.Document: the report on one block, its decision first.
//   - Outlook.Document: all blocks in picking order, with their windows.
//   - Plan.Document: the samples to take next.
//   - FieldSheet.Document: a sheet to be filled in by hand.
//
// A Document is written as page, PDF, spreadsheet, CSV, JSON or text by package
// document, from one list of cells. So all forms show the same figures; none is
// worked out here. People read stages to the tenth and fractions in whole percent; programs
// are given the millionths that these were rounded from.
//
// Pictures come as JPEG or PNG bytes from the caller. The package opens no
// file, asks no clock and writes nothing before the whole of it is rendered.
package report
