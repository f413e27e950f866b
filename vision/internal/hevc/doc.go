// Package hevc reads pictures coded in HEVC (ITU-T H.265, 2013; ISO/IEC 23008-2) as far as is needed to
// know that nothing of them is lost: every flag, mode and coefficient is read, and none is made into a
// pixel. The decoder that makes the pixels goes on with whatever it reads and does not tell.
//
// It rests on the arithmetic code. A wrong bit shifts every symbol after it, so that
// the picture does not end where its data do; a picture that does is whole. Pictures coded on
// their own are read, as photos are, by the tools of the Main, Main 10 and Main Still Picture profiles that
// cameras were seen to use, with colours at half or full size; of others nothing is said.
package hevc
