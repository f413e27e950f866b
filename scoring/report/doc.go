// Package report renders a block report for people and for programs:
//
//   - WriteText: a quiet table for the terminal, 80 columns wide.
//   - WriteJSON: the figures for programs, to three decimals.
//   - WriteHTML: one self-contained page to read on a phone, print or keep.
//
// People read stages to the tenth and fractions in whole percent; the JSON
// holds what these were rounded from. All three show the same figures of the
// same scoring.Report and work none out themselves.
//
// Pictures come as JPEG or PNG bytes from the caller. The package opens no
// file, asks no clock and writes nothing before the whole of it is rendered.
package report
