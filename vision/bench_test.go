package vision

import (
	"bytes"
	"fmt"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/disintegration/imaging"
	"gocv.io/x/gocv"

	"traystage/refimages/painter"
)

// phonePhoto is a JPEG of 4000 x 3000 pixels with twenty halves, as a phone
// takes it: painted smaller and enlarged, as painting takes long.
var phonePhoto = sync.OnceValues(func() ([]byte, error) {
	s := painter.Spec{
		Seed: 11, Width: 1600, Height: 1200, Difficulty: painter.Plain,
		Tray: painter.WhitePlastic, Table: painter.Wood, TrayX: 270, TrayY: 205,
		Light: painter.Overcast, LightFrom: 220, LightHeight: 60,
		Camera:  painter.Camera{Tilt: 4, Toward: 90, Distance: 600, Focal: 1},
		Variety: painter.Bicolour, Amber: 0.15, Wet: 0.1, Noise: 0.006, Blur: 0.6,
	}
	families := painter.Families()
	for i := range 20 {
		s.Halves = append(s.Halves, painter.HalfSpec{
			X: -200 + 100*float64(i%5), Y: -150 + 100*float64(i/5), Radius: 36 + float64(i%3), Height: 35,
			Stage: 1.5 + 0.3*float64(i), Family: families[i%len(families)], Seed: uint64(40 + i),
		})
	}
	img, _ := painter.Tray(s)
	var buf bytes.Buffer
	err := jpeg.Encode(&buf, imaging.Resize(img, 4000, 3000, imaging.CatmullRom), &jpeg.Options{Quality: 90})
	return buf.Bytes(), err
})

func phone(b *testing.B) []byte {
	b.Helper()
	photo, err := phonePhoto()
	if err != nil {
		b.Fatal(err)
	}
	return photo
}

// BenchmarkMeasure measures twenty halves on a photo of 12 megapixels. Beside
// the time it reports how many times as long that takes as only decoding the photo at
// full size, in turn with it, and the most memory that a process needs which does nothing else.
func BenchmarkMeasure(b *testing.B) {
	photo := phone(b)
	defer debug.SetGCPercent(debug.SetGCPercent(GCPercent)) // as the command does
	var measuring, decoding time.Duration
	for b.Loop() {
		began := time.Now()
		tray, err := Measure(photo, Options{})
		measuring += time.Since(began)
		if err != nil || len(tray.Halves) != 20 {
			b.Fatalf("%d halves, %v; painted were 20", len(tray.Halves), err)
		}
		b.StopTimer()
		began = time.Now()
		decodeFull(b, photo)
		decoding += time.Since(began)
		b.StartTimer()
	}
	b.ReportMetric(measuring.Seconds()/decoding.Seconds(), "x-of-decode")
	b.ReportMetric(peakOfChild(b, photo), "MB-peak")
}

// BenchmarkDecodeFull is what BenchmarkMeasure is compared with.
func BenchmarkDecodeFull(b *testing.B) {
	photo := phone(b)
	for b.Loop() {
		decodeFull(b, photo)
	}
}

func decodeFull(b *testing.B, photo []byte) {
	m, err := gocv.IMDecode(photo, gocv.IMReadColor)
	if err != nil {
		b.Fatal(err)
	}
	if m.Cols() != 4000 || m.Rows() != 3000 {
		b.Fatalf("decoded to %d x %d px", m.Cols(), m.Rows())
	}
	m.Close()
}

// peakPhoto names the photo that a child process measures to tell its peak of memory.
const peakPhoto = "TRAYSTAGE_PEAK_PHOTO"

// peakOfChild is the most memory, in MB, that a process of its own needed to
// measure the photo; 0 where the system does not tell.
func peakOfChild(b *testing.B, photo []byte) float64 {
	b.Helper()
	file := filepath.Join(b.TempDir(), "phone.jpg")
	if err := os.WriteFile(file, photo, 0o600); err != nil {
		b.Fatal(err)
	}
	self, err := os.Executable()
	if err != nil {
		b.Fatal(err)
	}
	cmd := exec.Command(self, "-test.run", "^TestPeakOfChild$", "-test.v")
	cmd.Env = append(os.Environ(), peakPhoto+"="+file)
	out, err := cmd.CombinedOutput()
	if err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	found := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(out)
	if found == nil {
		return 0
	}
	kB, err := strconv.ParseFloat(string(found[1]), 64)
	if err != nil {
		b.Fatal(err)
	}
	return kB / 1000
}

// TestPeakOfChild is the child of BenchmarkMeasure: it does nothing unless that starts it.
func TestPeakOfChild(t *testing.T) {
	file := os.Getenv(peakPhoto)
	if file == "" {
		t.Skip("started by BenchmarkMeasure only")
	}
	photo, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	defer debug.SetGCPercent(debug.SetGCPercent(GCPercent)) // as the command does
	measured(t, photo)
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		t.Skip(err)
	}
	fmt.Printf("%s\n", status)
}
