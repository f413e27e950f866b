// Package painter paints pictures of stained apple halves with exact truth:
// single plates for a reference set, and whole trays as a phone would
// photograph them.
//
// A picture is painted in linear light and then photographed:
//
//  1. RandomSpec lays a tray out from a seed: ground, lamp, camera, halves, clutter.
//     A Spec is plain numbers and may be written by hand or altered.
//  2. Every half gets an outline, a body and a painted face (newFace). The face is
//     a map of classes and of optical density, and the truth is counted on it.
//  3. Tray casts rays from a pinhole camera on the halves, the tray and the clutter,
//     with shadows, glare and reflected sky (scene.trace, scene.shade).
//  4. The film blurs, darkens the corners, adds sensor noise and turns the light
//     into sRGB (develop). EncodeJPEG adds the camera's record.
//
// World coordinates are millimetres: x to the right and y downwards as the
// picture shows them, z up from the floor of the tray. Picture coordinates have
// their origin at the top left corner of the top left pixel. The normalised
// radius of a point on a face is 0 at the centre of the core and 1 on the outline,
// along the bearing from the core's centre.
//
// Stained means a red-band optical density of the iodine-starch complex of at
// least StainedDensity. Flesh is the cut face without the skin ring and without
// the core's cavities and their lining. Amber tint, browning, shadow and glare
// are painted but never counted.
//
// Limits: the faces are flat, the cut goes through the equator, flesh lets no
// light through, and the lens draws straight lines.
//
// # Seeds
//
// Whoever tunes a measuring method must not judge it on the same pictures.
// Seeds from 1 to TuningSeeds are for tuning; those from JudgingSeeds to
// JudgingSeeds+TuningSeeds-1 are kept apart for judging and are never tuned on.
package painter

// TuningSeeds is the last of the seeds 1, 2, ... that methods may be tuned on.
const TuningSeeds = 9999

// JudgingSeeds is the first of the seeds that are kept for judging.
const JudgingSeeds = 1_000_001

// StainedDensity is the red-band optical density of the complex from which flesh
// counts as stained: it lets through less than 63 % of the red light.
const StainedDensity = 0.20
