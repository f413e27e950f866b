// Package scoring turns the calls of one sample into what a grower decides on:
// the block's mean stage, how sure it is, which fruit deserve a look, and the
// block report as a value.
//
// The steps:
//
//  1. A Fruit holds one half's call and measured figures.
//  2. Summarize gives the mean with its 90 % interval, the spread, the
//     histogram, the fruit that stands apart, and the warnings.
//  3. Report joins them with the photo and the reference set; package
//     scoring/report renders it.
//
// Stages are positions on the reference set's own scale, kept unrounded; what
// people read is rendered to the tenth. Fractions lie in [0, 1]. Warnings are
// results to be shown, not failures: nothing in this package returns an error,
// and nothing is dropped from a mean because it looks odd.
//
// The package is plain numbers. It knows no photo, file or clock.
package scoring
