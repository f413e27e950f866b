package photo

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gocv.io/x/gocv"
)

var damagedPhotos = flag.Int("damaged", 60, "how many photos TestDamaged damages")

// place is where a half lies on the kept tray.
type place struct {
	Centre [2]float64 `json:"centre"`
	Radius float64    `json:"eq_radius"`
}

// keptTray is a tray in a format, with its halves and as it looks undamaged.
type keptTray struct {
	name   string
	b      []byte
	whole  Photo
	halves []place
}

const lookedAt = 1000 // long side, px, as trays are measured

func keptTrays(t testing.TB) []keptTray {
	t.Helper()
	const name = "larkfield_demo.jpg"
	b, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "trays", name))
	if err != nil {
		t.Fatal(err)
	}
	m, err := gocv.IMDecode(b, gocv.IMReadColor)
	if err != nil {
		t.Fatal(err)
	}
	defer m.Close()
	as := func(ext gocv.FileExt, params ...int) []byte {
		buf, err := gocv.IMEncodeWithParams(ext, m, params)
		if err != nil {
			t.Fatal(err)
		}
		defer buf.Close()
		return bytes.Clone(buf.GetBytes())
	}
	const quality = gocv.IMWriteJpegQuality
	out := []keptTray{
		{name: "JPEG", b: b},
		{name: "JPEG, fine", b: as(gocv.JPEGFileExt, quality, 96)},
		{name: "JPEG, coarse", b: as(gocv.JPEGFileExt, quality, 75)},
		{name: "JPEG, optimized", b: as(gocv.JPEGFileExt, quality, 90, gocv.IMWriteJpegOptimize, 1)},
		{name: "JPEG with restart markers", b: as(gocv.JPEGFileExt, quality, 90, gocv.IMWriteJpegRstInterval, 20)},
		{name: "progressive JPEG", b: as(gocv.JPEGFileExt, quality, 90, gocv.IMWriteJpegProgressive, 1)},
		{name: "PNG", b: as(gocv.PNGFileExt, gocv.IMWritePngCompression, 3)},
		{name: "WebP", b: as(".webp", gocv.IMWriteWebpQuality, 90)},
	}
	halves := halvesOf(t, name)
	for i := range out {
		out[i].halves = halves
		if out[i].whole, err = Load(context.Background(), out[i].b, Limits{MaxPixels: 1e8, TargetLong: lookedAt}); err != nil {
			t.Fatalf("%s: %v", out[i].name, err)
		}
	}
	return append(out, heicTray(t, halves), tiledTray(t))
}

// heicTray is the same tray as another program writes it, 1400 px wide.
func heicTray(t testing.TB, halves []place) keptTray {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("testdata", "tray.heic"))
	if err != nil {
		t.Fatal(err)
	}
	tray := keptTray{name: "HEIC", b: b}
	for _, h := range halves {
		const by = 1400. / 1600
		tray.halves = append(tray.halves, place{[2]float64{by * h.Centre[0], by * h.Centre[1]}, by * h.Radius})
	}
	if tray.whole, err = Load(context.Background(), tray.b, Limits{MaxPixels: 1e8, TargetLong: lookedAt}); err != nil {
		t.Fatal(err)
	}
	return tray
}

// tiledTray has no tray on it, as nothing here writes tiles: the quadrants of each are looked at instead.
func tiledTray(t testing.TB) keptTray {
	t.Helper()
	tray := keptTray{name: "HEIC of tiles", b: gridHEIC(t, 4, 2, 4*tileWidth, 2*tileHeight, 0)}
	for y := range 4 {
		for x := range 8 {
			tray.halves = append(tray.halves, place{[2]float64{(float64(x) + 0.5) * tileWidth / 2, (float64(y) + 0.5) * tileHeight / 2}, tileWidth / 5})
		}
	}
	var err error
	if tray.whole, err = Load(context.Background(), tray.b, Limits{MaxPixels: 1e8, TargetLong: lookedAt}); err != nil {
		t.Fatal(err)
	}
	return tray
}

func halvesOf(t testing.TB, photo string) []place {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "trays", strings.TrimSuffix(photo, ".jpg")+".json"))
	if err != nil {
		t.Fatal(err)
	}
	var truth struct {
		Halves []place `json:"halves"`
	}
	if err := json.Unmarshal(b, &truth); err != nil || len(truth.Halves) == 0 {
		t.Fatalf("%d halves, %v", len(truth.Halves), err)
	}
	return truth.Halves
}

// damage gives a copy of a file with something wrong in its middle, and says what.
func damage(b []byte, r *rand.Rand) ([]byte, string) {
	at := len(b)/50 + r.IntN(len(b)*24/25)
	n := 1 << r.IntN(13)
	n = min(1+r.IntN(n), len(b)-at-1)
	out := bytes.Clone(b)
	switch r.IntN(6) {
	case 0:
		out[at] ^= 1 << r.IntN(8)
		return out, fmt.Sprintf("a bit wrong at %d", at)
	case 1:
		out[at] ^= byte(1 + r.IntN(255))
		return out, fmt.Sprintf("a byte wrong at %d", at)
	case 2:
		return append(out[:at], b[at+n:]...), fmt.Sprintf("%d bytes missing at %d", n, at)
	case 3:
		return insert(b, at, b[at:at+n]), fmt.Sprintf("%d bytes twice at %d", n, at)
	case 4:
		clear(out[at : at+n])
		return out, fmt.Sprintf("%d bytes zero at %d", n, at)
	}
	for i := at; i < at+n; i++ {
		out[i] = byte(r.Uint32())
	}
	return out, fmt.Sprintf("%d bytes random at %d", n, at)
}

// spoilt is the largest share of a half on which a picture differs so much from another that it may be seen.
func spoilt(a, b Photo, halves []place) float64 {
	if a.Cols != b.Cols || a.Rows != b.Rows {
		return 1
	}
	most := 0.0
	for _, h := range halves {
		x, y, r := h.Centre[0]/b.Scale, h.Centre[1]/b.Scale, h.Radius/b.Scale
		n, off := 0, 0
		for py := max(0, int(y-r)); py < min(b.Rows, int(y+r)); py++ {
			for px := max(0, int(x-r)); px < min(b.Cols, int(x+r)); px++ {
				dx, dy := float64(px)-x, float64(py)-y
				if dx*dx+dy*dy > r*r {
					continue
				}
				n++
				if !near(pixel(a, px, py), pixel(b, px, py), seenLevels) {
					off++
				}
			}
		}
		most = max(most, float64(off)/float64(n))
	}
	return most
}

// A difference of 8 levels moves the density of flesh by 0.03, of the 0.20 that make it stained;
// where fewer than one pixel in fifty differs so much, the fraction cannot move by more.
const seenLevels, seenShare = 8, 0.02

// Between restart markers, 20 MCUs apart, no more than a strip of 16 px of the photo can be
// wrong: across the middle of a half of 136 px radius that is 2*136*16 of pi*136^2 px.
const stripShare = 0.075

func TestDamaged(t *testing.T) {
	trays := keptTrays(t)
	r := rand.New(rand.NewPCG(9, 1))
	refused, good := map[string]int{}, map[string]int{}
	for i := range *damagedPhotos {
		tray := trays[i%len(trays)]
		b, what := damage(tray.b, r)
		began := time.Now()
		p, err := Load(context.Background(), b, Limits{MaxPixels: 1e8, TargetLong: lookedAt})
		if took := time.Since(began); took > 10*time.Second {
			t.Errorf("%s, %s: %v", tray.name, what, took)
		}
		if err != nil {
			refused[tray.name]++
			if !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrCutShort) && !errors.Is(err, ErrNotPhoto) {
				t.Errorf("%s, %s: %v", tray.name, what, err)
			}
			continue
		}
		switch share := spoilt(p, tray.whole, tray.halves); {
		case p.Damaged: // told by a remark
			refused[tray.name]++
		case share <= seenShare:
			good[tray.name]++
		case share <= stripShare && strings.Contains(tray.name, "restart"):
			t.Logf("%s, %s: read without a word, %.2f of a half is wrong", tray.name, what, share)
		default:
			t.Errorf("%s, %s: read without a word, %.2f of a half is wrong", tray.name, what, share)
		}
	}
	for _, tray := range trays {
		t.Logf("%s of %d bytes: %d refused, %d as good as whole", tray.name, len(tray.b), refused[tray.name], good[tray.name])
	}
}
