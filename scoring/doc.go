// Package scoring turns the calls and readings of a season into what a grower
// decides on: each block's mean stage and how sure it is, how it stands to its
// market, and which block to pick when.
//
// The steps:
//
//  1. A Fruit holds one half's call and measured figures, and what a person made
//     of the call. Summarize gives the mean stage of a sample with its 90 %
//     interval, the spread, the fruit that stands apart, and the warnings. Report
//     joins them with one photo and its reference set.
//  2. A Sample holds the trays and readings of one block on one day. ReadStandards
//     reads a table of what markets ask; Prefer puts a grower's own rows before
//     those that are shipped.
//  3. Assess joins readings with halves, describes every quantity, follows it
//     through the season to the day of the report, holds it against the block's
//     standard and those of its variety's other markets, and gives a BlockReport: the
//     verdict with its chance, reasons and window, the fruit that could turn it, the
//     warnings. LearnRates and Compare look at more than one season.
//  4. Rank puts the reports of all blocks into an Outlook, in picking order.
//
// Package scoring/report renders reports and outlooks.
//
// Stages are positions on the reference set's own scale, kept unrounded; what
// people read is rendered to the tenth. Fractions lie in [0, 1], shares in
// per cent are called so. Days are midnights UTC. Warnings are results to be
// shown, not failures, and nothing is dropped from a mean because it looks odd;
// but readings that do not fit the halves are an error, never shifted into place.
//
// The package is plain numbers. It knows no photo, file or clock.
package scoring
