package main

import (
	"bytes"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/disintegration/imaging"
	opencv "gocv.io/x/gocv"
)

// BenchmarkProcess runs the program that make built, as people do: version, which does
// nothing, and score of a photo of 12 megapixels, each in a new process. Of every figure it reports
// the least, as other programs only add to it: seconds and seconds of processor time. What
// scoring takes beyond version is given in full decodes of the same photo by OpenCV in one warm process.
func BenchmarkProcess(b *testing.B) {
	program := filepath.Join("..", "..", "bin", "traystage")
	if _, err := os.Stat(program); err != nil {
		b.Skip("make build first")
	}
	photo := phonePhoto(b)
	version, score, decode := leastOf(), leastOf(), leastOf()
	for b.Loop() {
		version.process(b, program, "version")
		score.process(b, program, "score", photo)
		decode.decoding(b, photo)
	}
	b.ReportMetric(version.wall.Seconds(), "version-s")
	b.ReportMetric(version.cpu.Seconds(), "version-cpu-s")
	b.ReportMetric(score.wall.Seconds(), "score-s")
	b.ReportMetric(score.cpu.Seconds(), "score-cpu-s")
	b.ReportMetric((score.wall-version.wall).Seconds()/decode.wall.Seconds(), "x-of-decode")
	b.ReportMetric((score.cpu-version.cpu).Seconds()/decode.cpu.Seconds(), "x-of-decode-cpu")
}

// least are the smallest figures of several runs.
type least struct {
	wall, cpu time.Duration
}

func leastOf() *least { return &least{wall: time.Hour, cpu: time.Hour} }

func (l *least) process(b *testing.B, program string, args ...string) {
	b.Helper()
	cmd := exec.Command(program, args...)
	began := time.Now()
	out, err := cmd.CombinedOutput()
	l.wall = min(l.wall, time.Since(began))
	if err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	l.cpu = min(l.cpu, cmd.ProcessState.UserTime()+cmd.ProcessState.SystemTime())
}

func (l *least) decoding(b *testing.B, photo string) {
	b.Helper()
	file, err := os.ReadFile(photo)
	if err != nil {
		b.Fatal(err)
	}
	spent := func() time.Duration {
		var u syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
			b.Fatal(err)
		}
		return time.Duration(u.Utime.Nano() + u.Stime.Nano())
	}
	began, before := time.Now(), spent()
	m, err := opencv.IMDecode(file, opencv.IMReadColor)
	if err != nil || m.Empty() {
		b.Fatal("the photo cannot be decoded")
	}
	l.wall, l.cpu = min(l.wall, time.Since(began)), min(l.cpu, spent()-before)
	m.Close()
}

// phonePhoto is the kept demo tray enlarged to the size of a phone's photo, with a sensor's noise:
// 4 to 6 MB, as phones write them.
func phonePhoto(b *testing.B) string {
	b.Helper()
	img, err := imaging.Open(filepath.Join("..", "..", "testdata", "trays", "larkfield_demo.jpg"))
	if err != nil {
		b.Fatal(err)
	}
	large, noise := imaging.Resize(img, 4000, 3000, imaging.CatmullRom), rand.New(rand.NewPCG(12, 8))
	for i, v := range large.Pix {
		if i%4 != 3 {
			large.Pix[i] = uint8(min(max(float64(v)+4*noise.NormFloat64(), 0), 255))
		}
	}
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, large, &jpeg.Options{Quality: 92}); err != nil {
		b.Fatal(err)
	}
	name := filepath.Join(b.TempDir(), "phone.jpg")
	if err := os.WriteFile(name, buf.Bytes(), 0o600); err != nil {
		b.Fatal(err)
	}
	return name
}
