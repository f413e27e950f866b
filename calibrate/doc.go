// Package calibrate turns the profile of a half into a stage, on a reference
// set that the grower calibrates. It knows profiles, not photos: plain numbers
// in, plain numbers out, no files and no clock.
//
//  1. PlateFrom makes a plate from a measured half; New and Set.Next make
//     a version of a set from plates, Set.Grade from halves that people graded by
//     eye, Set.Adopt from overridden calls. A version never changes.
//  2. Encode and Decode write and read a version as one JSON file.
//  3. Fit lays a path through the plates and draws it towards graded halves;
//     Path.Call says where on it a half lies and how sure that is,
//     Path.CommonError how far a whole tray may be off.
//  4. CheckSet says whether a set can be trusted; Convert lays two sets side by side.
//
// Fractions are stained flesh / flesh in [0, 1]; zones run from the core
// outward; stages are numbers on the set's scale, whichever way it runs.
//
// How a stage is called. The total and every zone each say how far the half
// has cleared along the path, and each is listened to as much as it tells at
// that part of the path: (slope / error)², the Fisher information of a reading
// with a Gaussian error (R. A. Fisher, Theory of Statistical Estimation, 1925).
// Where the total falls steeply it decides; where it hardly moves from plate to
// plate the pattern does. Adding up each reading's information from the stained
// end to where the reading stands, and asking at which position the plates have
// gathered as much, gives a stage that
//
//   - equals a plate's stage at that plate's own profile,
//   - moves without jumps, and
//   - can never lie nearer the clear end for more stain, because every reading
//     enters through a function of its own that never rises with stain, and what
//     is done with their sum never falls.
package calibrate
