// Package jpeg decodes photos reduced and upfront about damage: whatever in the coded data
// contradicts itself is an error, not a warning with grey or shifted pixels behind it.
//
// Other decoders are not enough here. The C library behind OpenCV goes on over damage, says so on
// the terminal at most, and cannot be stopped; the standard library's cannot decode reduced.
//
//  1. Segments are read up to the first scan: size, tables, restart interval (segments.go).
//  2. The coded data between two markers is freed of its stuffing in one go and read 64 bits at a
//     time; codes and the numbers behind them are looked up together (bits.go, huffman.go).
//  3. Blocks become 8, 4, 2 or 1 samples a side by the inverse cosine transform averaged over
//     the pixels that a sample stands for (cosine.go). Progressive pictures gather coefficients first (progressive.go).
//  4. Planes become BGR (colour.go).
//  5. JPEG has no checksum: where a wrong bit leaves the codes in step, all that follows is
//     too bright, too dark or of another hue. That leaves a seam, which is looked for (seam.go) in the rows
//     that are there while the others are decoded (watch.go).
//
// Source: ITU-T T.81 (1992), JFIF 1.02 (1992).
package jpeg
