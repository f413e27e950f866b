// Package photo turns the bytes of one photo into an upright BGR picture, no
// larger than the work needs, or refuses them at the door.
//
// The steps:
//
//  1. sniff tells the format by content: JPEG, PNG, WebP or HEIC. Anything else
//     is refused by name.
//  2. A walk through the file's own structure (walkJPEG, walkPNG, walkWebP,
//     walkHEIC) finds the size and the EXIF block and makes sure that the end is
//     there. Nothing is decoded for it.
//  3. Limits are checked, on pixels and on the memory that decoding takes; photos
//     that would take too much together wait for one another (memory.go).
//  4. decode decodes, JPEG at 1/2, 1/4 or 1/8 of its size where that is enough,
//     lays see-through pictures on white and reduces row by row the rest of the way.
//     What a decoder finds wrong is an error, and nothing of it reaches the terminal.
//  5. upright turns the small picture as EXIF says. A HEIC says itself how it is turned and its
//     decoder obeys; EXIF only repeats it there and is not applied.
//
// Errors read as a clause that follows the file's name and end with what to do.
//
// Damage is told where the format lets it: PNG by its sums, JPEG see package jpeg, lossy WebP by
// whether its data is used up, HEIC see package hevc.
//
// Not done here: colour profiles are not applied, and of a file with several
// pictures only the first (of a HEIC the primary one) is read.
package photo
