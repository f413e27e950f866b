// Package stain tells, pixel by pixel, what a cut face shows: clear flesh,
// stained flesh, or what is neither.
//
// One physical model, with every number of it in Model:
//
//	seen = light here x flesh of this face x 10^-(complex + iodine) + reflection, through the camera's curve
//
// The complex of iodine and starch absorbs most in the orange-red, unbound iodine in the
// blue; shadow takes from all bands alike, reflected light adds to all. The steps:
//
//  1. cut takes the pixels of a face out of the picture, curve undoes the camera's.
//  2. levels are the brightnesses at which a fair share of a face agrees. over finds the light over the
//     tray that explains most of them, own the clear flesh of each face; faces of one tray differ
//     in flesh. A face without clear flesh borrows the light of the tray.
//  3. separate unmixes every pixel into the densities of complex and iodine (colour deconvolution).
//  4. judge masks and counts what the model does not explain: skin, cavities, reflected light.
//     sight compares the complex with the threshold, or with more beside dense stain, whose light mixes in.
//
// No step splits a face in two: a face that is all clear or all stained has no
// two kinds of flesh, and the light is that of the tray.
package stain
