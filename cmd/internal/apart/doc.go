// Package apart measures photos in child processes of the same program, so that
// a photo that kills a decoder, or makes it run for ever, costs one answer and
// nothing else.
//
// A Pool keeps as many children as photos may be measured at once. Each child
// is fed one job at a time by pipe, is limited in memory (its address space) and in time (it is killed),
// and is replaced after any failure and after a number of jobs. Serve is the
// child's side; the program calls it from a verb of its own and does nothing
// else in that process.
//
// Jobs and answers are frames: the length of a JSON head, the head, the length
// of a body, the body; lengths are 32-bit numbers, most significant byte first.
package apart
