// Package locate finds the cut faces on a picture of a tray and draws the
// outline of each: working picture in, plain rings of radii out. It knows what
// a cut apple looks like and nothing of how trays look.
//
// The steps:
//
//  1. candidates: every edge votes for the centres of circles that it could be
//     part of.
//  2. follow: around each candidate the closed path of clearest edge, and the
//     five-lobed core in its middle. Five carpels are what no tray, shadow,
//     glove or whole fruit shows.
//  3. starred: the faces with a clear core. They teach the palettes: which
//     colours are face and which are ground on this tray.
//  4. sharpen: each outline again, now as the path that leaves most face inside
//     and most ground outside. others: halves whose core is not clear but which
//     look like the faces found. beyond: outlines along the jagged edge of
//     stain move out to the skin.
//  5. finish: the thin ring of skin around the flesh, on a finer picture: its
//     inner edge bounds the flesh, its outer edge is the outline.
//
// Coordinates are pixels of the working picture: origin at the top left corner
// of the top left pixel, x to the right, y down.
package locate
