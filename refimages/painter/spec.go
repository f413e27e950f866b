package painter

import (
	"math"
	"time"
)

// Difficulty says what kind of picture a Spec is.
type Difficulty string

const (
	// Plain is a tray as the instructions ask for it: camera nearly overhead, soft or even light.
	Plain Difficulty = "plain"
	// Hard is a tray as it also comes in: glare, hard shadows, tilt, clutter, clipped halves.
	Hard Difficulty = "hard"
	// None shows no cut half: an empty tray, whole fruit or clutter.
	None Difficulty = "none"
)

// Ground is what the halves lie on, or what that stands on.
type Ground string

// The grounds. The first nine are trays; any may be the table too.
const (
	WhitePlastic Ground = "white plastic"
	BlackPlastic Ground = "black plastic"
	BluePlastic  Ground = "blue plastic"
	GreenPlastic Ground = "green plastic"
	GreyMetal    Ground = "grey metal"
	Wood         Ground = "wood"
	Cardboard    Ground = "cardboard"
	Pulp         Ground = "pulp"
	Towel        Ground = "paper towel"
	Laminate     Ground = "laminate"
	Concrete     Ground = "concrete"
	Card         Ground = "grey card" // what plates are painted on
)

// Trays lists the grounds that serve as trays.
func Trays() []Ground {
	return []Ground{WhitePlastic, BlackPlastic, BluePlastic, GreenPlastic, GreyMetal, Wood, Cardboard, Pulp, Towel}
}

// Light is the light in the room.
type Light string

// The lights.
const (
	Overcast Light = "overcast" // window or open shed, soft shadows
	Tubes    Light = "tubes"    // fluorescent tubes overhead, slightly green
	Tungsten Light = "tungsten" // warm bulb overhead
	Sun      Light = "sun"      // low hard sun and blue sky
	Lamp     Light = "lamp"     // one near lamp at the side, falling off across the tray
	Flash    Light = "flash"    // the phone's own
)

// Lights lists all lights.
func Lights() []Light { return []Light{Overcast, Tubes, Tungsten, Sun, Lamp, Flash} }

// Camera is where the phone was held.
type Camera struct {
	Tilt     float64 // away from straight down, degrees, 0 to 30
	Toward   float64 // side of the tray on which the photographer leans in, degrees from the x axis towards y; 90 is below
	Roll     float64 // turn about the line of sight, degrees
	Distance float64 // to the point looked at, mm
	X, Y     float64 // the point looked at, mm from the middle of the tray
	Focal    float64 // focal length / width of the picture
}

// HalfSpec is one cut half on the tray.
type HalfSpec struct {
	X, Y   float64 // centre of the core, mm from the middle of the tray
	Radius float64 // mean, mm
	Height float64 // of the face above the tray, mm
	Stage  float64 // 1 (all stained) to 8 (clear)
	Family Family
	Seed   uint64 // of its outline, core, pattern and texture
}

// FruitSpec is one whole fruit on the tray.
type FruitSpec struct {
	X, Y    float64 // mm from the middle of the tray
	Radius  float64 // mm
	Tip     float64 // of its axis away from upright, degrees
	Turn    float64 // direction of that, degrees
	Variety Variety
	Seed    uint64
}

// Clutter is a thing that is neither tray nor fruit.
type Clutter string

// The clutter.
const (
	Knife   Clutter = "knife"
	Label   Clutter = "label"
	Fingers Clutter = "fingers"
	Pen     Clutter = "pen"
	Cloth   Clutter = "cloth"
)

// ClutterSpec is one thing on the tray.
type ClutterSpec struct {
	Kind Clutter
	X, Y float64 // its reference point (middle, or finger tip), mm from the middle of the tray
	Turn float64 // degrees from the x axis towards y
	Seed uint64
	Text string // on a label
}

// Spec says all there is to a picture of a tray.
type Spec struct {
	Seed          int64 // of tray texture, drops and sensor noise
	Width, Height int   // pixels, upright
	Zones         int   // rings of the truth; 0 means zones.DefaultCount
	Difficulty    Difficulty
	Tray, Table   Ground
	TrayX, TrayY  float64 // half size of the tray's floor, mm
	Light         Light
	LightFrom     float64 // bearing from which the light comes, degrees
	LightHeight   float64 // its height above the horizon, degrees
	Camera        Camera
	Variety       Variety
	Amber         float64    // density in the blue of unbound iodine, about 0 to 0.5
	Browning      float64    // 0 none to 1 strong
	Wet           float64    // 0 dry faces to 1 running with juice
	Stains        float64    // smears of iodine on the tray, 0 none to 1 many
	Drops         int        // of iodine on the tray
	EV            float64    // exposure above (+) or below the meter's, stops
	White         [3]float64 // gains of a wrong white balance; zero means none
	Noise         float64    // sensor noise at mid grey, share of full scale
	Blur          float64    // radius of the lens's blur, pixels (standard deviation)
	Quality       int        // of the JPEG, 1 to 100
	Orientation   int        // EXIF orientation the file is stored with, 1 to 8
	Taken         time.Time
	Halves        []HalfSpec // any order; the truth is in reading order
	Fruit         []FruitSpec
	Clutter       []ClutterSpec
}

// camera is the pinhole ready for casting rays.
type camera struct {
	eye                  vec
	right, down, forward vec
	focal, cx, cy        float64 // pixels
}

func radians(deg float64) float64 { return deg * math.Pi / 180 }

// newCamera stands the camera over the tray. The level it looks at is that of
// the faces, level mm above the floor.
func newCamera(c Camera, width, height int, level float64) camera {
	st, ct := math.Sincos(radians(c.Tilt))
	sa, ca := math.Sincos(radians(c.Toward))
	back := vec{st * ca, st * sa, ct}
	cam := camera{
		eye:     vec{c.X, c.Y, level}.along(back, c.Distance),
		forward: back.mul(-1),
		focal:   c.Focal * float64(width), cx: float64(width) / 2, cy: float64(height) / 2,
	}
	x, y := vec{x: 1}, vec{y: 1}
	right := x.along(cam.forward, -x.dot(cam.forward)).unit()
	down := y.along(cam.forward, -y.dot(cam.forward))
	down = down.along(right, -down.dot(right)).unit()
	sr, cr := math.Sincos(radians(c.Roll))
	cam.right = right.mul(cr).along(down, -sr)
	cam.down = down.mul(cr).along(right, sr)
	return cam
}

// ray is the direction (unit) of the light that falls on a place of the picture.
func (c *camera) ray(px, py float64) vec {
	return c.forward.mul(c.focal).along(c.right, px-c.cx).along(c.down, py-c.cy).unit()
}

// project is the place of the picture on which a point falls; false behind the camera.
func (c *camera) project(p vec) (px, py float64, ok bool) {
	d := p.sub(c.eye)
	z := d.dot(c.forward)
	if z <= 1 {
		return 0, 0, false
	}
	return c.cx + c.focal*d.dot(c.right)/z, c.cy + c.focal*d.dot(c.down)/z, true
}
