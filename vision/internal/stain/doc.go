// Package stain tells, pixel by pixel, what a cut face shows: clear flesh,
// stained flesh, or what is neither.
//
// The measure is physical. The complex of iodine and starch absorbs most in
// the orange-red, so the optical density of a pixel in the red band, relative
// to clear flesh under the same light, says how much of it is there:
//
//	density = log10(red of clear flesh here / red of the pixel), in linear light
//
// Amber of unbound iodine and browning absorb blue and leave most of the red;
// glare adds the same light to all bands. The steps:
//
//  1. cut takes the pixels of a face out of the picture, in linear light.
//  2. tray.light finds what clear flesh would look like at every place of every
//     face: from the face's own clear flesh, else from that of the other
//     faces, else from the hue of the stain itself.
//  3. patch.judge compares, and patch.limit says from which density a pixel is
//     stained: the threshold, or more beside dense stain, whose light mixes into it.
//
// No step splits a face in two: a face that is all clear or all stained has no
// two kinds of flesh, and the light is that of the tray.
package stain
