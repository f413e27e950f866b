package painter

import (
	"image"
	"math"
)

// Plate paints one half for a reference set: overhead, in soft light, on a plain
// grey card, in a square picture of size pixels. The stage runs from 1 (all stained)
// to 8 (clear); the same arguments give the same picture.
func Plate(f Family, stage float64, seed int64, size int) (*image.RGBA, HalfTruth) {
	const radius, focal, fill = 37.0, 4.0, 0.415 // fill: radius of the face / size of the picture
	spec := Spec{
		Seed: seed, Width: size, Height: size,
		Tray: Card, Table: Card, TrayX: 400, TrayY: 400,
		Light: Overcast, LightFrom: 235, LightHeight: 58,
		Camera:  Camera{Toward: 90, Distance: focal * radius / fill, Focal: focal},
		Variety: Bicolour, Amber: 0.14, Wet: 0.1, Noise: 0.003, Blur: 0.45,
		Halves: []HalfSpec{{
			Radius: radius, Height: level, Stage: stage, Family: f,
			Seed: uint64(seed)*1_000_003 + uint64(math.Round(stage*100)),
		}},
	}
	img, truth := Tray(spec)
	return img, truth.Halves[0]
}
