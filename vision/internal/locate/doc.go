// Package locate finds the cut faces on a picture of a tray and draws the
// outline of each: working picture in, plain rings of radii out. It knows what
// a cut apple looks like and nothing of how trays look.
//
// The steps:
//
//  1. candidates: every edge votes for the centres of circles that it could be
//     part of.
//  2. follow: around each candidate the closed path of clearest edge, and what
//     can be seen of it: cues, each with a likelihood of its own (cues.go, evidence.go).
//  3. decide: outlines that are sure to be halves by themselves teach the palettes:
//     which colours are face and which are ground on this tray. With these all outlines
//     that may be halves are drawn again, as the path that leaves most face inside
//     and most ground outside, and weighed again, now by their likeness to the sure
//     ones too. They are then halves, suspects or neither.
//  4. sharpen: the outlines of the halves once more. beyond: outlines along the
//     jagged edge of stain move out to the skin.
//  5. finish: the thin ring of skin around the flesh, on a finer picture: its
//     inner edge bounds the flesh, its outer edge is the outline.
//
// Coordinates are pixels of the working picture: origin at the top left corner
// of the top left pixel, x to the right, y down.
package locate
