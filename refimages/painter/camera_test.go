package painter

import (
	"math"
	"testing"
)

func TestCameraOverhead(t *testing.T) {
	c := newCamera(Camera{Toward: 90, Distance: 400, Focal: 0.8, X: 10, Y: -5}, 1000, 800, 36)
	// 0.8 * 1000 pixels of focal length at 400 mm: 2 pixels per mm
	for _, p := range []struct{ x, y, px, py float64 }{{10, -5, 500, 400}, {60, -5, 600, 400}, {10, 45, 500, 500}} {
		px, py, ok := c.project(vec{p.x, p.y, 36})
		if !ok || math.Abs(px-p.px) > 1e-9 || math.Abs(py-p.py) > 1e-9 {
			t.Errorf("%g, %g falls on %g, %g; want %g, %g", p.x, p.y, px, py, p.px, p.py)
		}
	}
	if _, _, ok := c.project(vec{0, 0, 500}); ok {
		t.Error("a point behind the camera is not in the picture")
	}
}

func TestCameraRoll(t *testing.T) {
	c := newCamera(Camera{Toward: 90, Distance: 400, Focal: 0.8, Roll: 90}, 1000, 1000, 0)
	px, py, _ := c.project(vec{x: 50})
	if math.Abs(px-500) > 1e-6 || math.Abs(math.Abs(py-500)-100) > 1e-6 {
		t.Errorf("turned by 90 degrees, the x axis falls on %g, %g", px, py)
	}
}

func TestCameraTilt(t *testing.T) {
	// leaning in from below by 25 degrees: a length along y shrinks by the cosine, the
	// near end is larger, and the eye stands 400 cos 25 above the level
	c := newCamera(Camera{Tilt: 25, Toward: 90, Distance: 400, Focal: 0.8}, 1000, 1000, 36)
	if want := 36 + 400*math.Cos(radians(25)); math.Abs(c.eye.z-want) > 1e-9 || c.eye.y <= 0 {
		t.Errorf("the eye is at %v", c.eye)
	}
	_, near, _ := c.project(vec{0, 1, 36})
	_, far, _ := c.project(vec{0, -1, 36})
	if got, want := (near-far)/4, math.Cos(radians(25)); math.Abs(got-want) > 1e-3 {
		t.Errorf("a millimetre along y shrinks to %.4f, want %.4f", got, want)
	}
	left, _, _ := c.project(vec{-50, 100, 36})
	farLeft, _, _ := c.project(vec{-50, -100, 36})
	if left >= farLeft {
		t.Error("what lies nearer must look larger")
	}
}

func TestRayAndProjectAgree(t *testing.T) {
	c := newCamera(Camera{Tilt: 18, Toward: 70, Roll: 7, Distance: 380, Focal: 0.8, X: 12, Y: 3}, 1600, 1200, 36)
	for _, p := range [][2]float64{{0, 0}, {1600, 1200}, {333.3, 901.7}} {
		dir := c.ray(p[0], p[1])
		hit := c.eye.along(dir, (36-c.eye.z)/dir.z)
		px, py, ok := c.project(hit)
		if !ok || math.Hypot(px-p[0], py-p[1]) > 1e-6 {
			t.Errorf("pixel %v comes back as %g, %g", p, px, py)
		}
	}
}

func TestGleam(t *testing.T) {
	up := vec{z: 1}
	// straight up and down with roughness 0.5 and a point lamp: the width is (0.9 * 0.25 + 0.03)²
	if got, want := gleam(up, up, up, 1, 0.5, 0), 1/(4*sq(0.255)); math.Abs(got-want) > 1e-9 {
		t.Errorf("gleam is %g, want %g", got, want)
	}
	if a, b := gleam(up, up, from(0, 80), 1, 0.3, 0), gleam(up, up, from(0, 60), 1, 0.3, 0); a <= b {
		t.Errorf("gleam grows from %g to %g away from the mirror direction", a, b)
	}
}

func TestLampFallsOffWithDistance(t *testing.T) {
	l := lamp{near: true, pos: vec{z: 400}, reach: 400, col: rgb{1, 1, 1}}
	_, _, here := l.toward(vec{})
	_, _, there := l.toward(vec{x: 400 * math.Sqrt(3)}) // twice as far
	if math.Abs(here[1]-1) > 1e-12 || math.Abs(there[1]-0.25) > 1e-12 {
		t.Errorf("irradiance %g and %g, want 1 and 1/4", here[1], there[1])
	}
}

func TestTrayIsMetOnFloorLipAndTable(t *testing.T) {
	spec := Spec{Tray: WhitePlastic, TrayX: 150, TrayY: 100}
	tr := newTray(&spec)
	down := vec{z: -1}
	for _, c := range []struct{ x, want float64 }{{0, 0}, {149, 0}, {150 + tr.wall, tr.rim}, {150 + tr.wall + tr.lip + 5, tr.table}} {
		at, _, _ := tr.hit(vec{c.x, 0, 300}, down)
		if z := 300 - at; math.Abs(z-c.want) > 0.05 {
			t.Errorf("at x = %g the surface is at %.3f, want %.3f", c.x, z, c.want)
		}
	}
	if d, nx, ny := tr.edge(150+30, 100+40); math.Abs(d-(math.Hypot(30+22, 40+22)-22)) > 1e-9 || nx <= 0 || ny <= 0 {
		t.Errorf("beyond the corner: distance %g towards %g, %g", d, nx, ny)
	}
}
