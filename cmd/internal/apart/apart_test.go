package apart

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"os"
	"os/exec"
	"reflect"
	"runtime"
	"sync"
	"testing"
	"time"

	"traystage/vision"
	"traystage/vision/zones"
)

// The test's own program is the child too: with this variable set it serves
// photos that say what shall become of them.
const asChild = "TRAYSTAGE_TEST_CHILD"

func TestMain(m *testing.M) {
	switch os.Getenv(asChild) {
	case "":
		os.Exit(m.Run())
	case "vision":
		serve(Vision)
	case "silent":
		time.Sleep(time.Minute)
	case "mumbles":
		_, _ = io.WriteString(os.Stdout, "OpenCV warning, and so on")
	default:
		serve(Measurer{Measure: obey, Picture: func([]byte, int, vision.Options) ([]byte, error) { return []byte("picture"), nil }})
	}
}

func serve(m Measurer) {
	if err := Serve(os.Stdin, os.Stdout, Limits{Memory: 600 << 20}, m); err != nil {
		os.Exit(1)
	}
}

var sample = vision.Tray{
	Width: 4000, Height: 3000, Taken: time.Date(2026, 9, 14, 8, 31, 0, 0, time.UTC),
	Halves: []vision.Half{{
		Number: 1, Centre: vision.Point{X: 1.0 / 3, Y: 2}, Radius: 99.5, Outline: []vision.Point{{X: 1, Y: 2}},
		Profile:     zones.Profile{Zones: []zones.Zone{{Outer: 0.2, Stained: 3, Flesh: 7}}, Face: 9},
		FractionLow: 0.1, FractionHigh: 0.7,
	}},
}

func obey(photo []byte, opt vision.Options) (vision.Tray, error) {
	switch string(photo) {
	case "die":
		os.Exit(3)
	case "hang":
		time.Sleep(time.Minute)
	case "eat":
		var hoard [][]byte
		for range 64 {
			b := make([]byte, 64<<20)
			for i := range b {
				b[i] = 1
			}
			hoard = append(hoard, b)
		}
		runtime.KeepAlive(hoard)
	case "none":
		return vision.Tray{}, vision.ErrNoHalves
	case "printed":
		return vision.Tray{}, vision.ErrPrinted
	case "torn":
		return vision.Tray{}, errors.New("cut short: the JPEG ends after 12 bytes")
	case "zones":
		return vision.Tray{Width: opt.Zones}, nil
	}
	return sample, nil
}

func pool(t *testing.T, child string, change func(*Config)) *Pool {
	t.Helper()
	c := Config{
		Command: func() *exec.Cmd {
			cmd := exec.Command(os.Args[0])
			cmd.Env = append(os.Environ(), asChild+"="+child)
			return cmd
		},
		Children: 2, Waiting: 100, Time: 20 * time.Second, Jobs: 100,
	}
	if change != nil {
		change(&c)
	}
	p := New(c)
	t.Cleanup(p.Close)
	return p
}

func TestAnswersAreThoseOfTheMeasurer(t *testing.T) {
	p := pool(t, "obeys", nil)
	got, err := p.Measure(t.Context(), []byte("any"), vision.Options{})
	if err != nil || !reflect.DeepEqual(got, sample) {
		t.Errorf("got %+v, %v, want the sample", got, err)
	}
	if got, err := p.Measure(t.Context(), []byte("zones"), vision.Options{Zones: 7}); err != nil || got.Width != 7 {
		t.Errorf("options were lost: %+v, %v", got, err)
	}
	if _, err := p.Measure(t.Context(), []byte("none"), vision.Options{}); !errors.Is(err, vision.ErrNoHalves) {
		t.Errorf("error %v, want ErrNoHalves", err)
	}
	if _, err := p.Measure(t.Context(), []byte("printed"), vision.Options{}); !errors.Is(err, vision.ErrPrinted) || !errors.Is(err, vision.ErrNoHalves) {
		t.Errorf("error %v, want ErrPrinted, which is ErrNoHalves", err)
	}
	if _, err := p.Measure(t.Context(), []byte("torn"), vision.Options{}); err == nil || err.Error() != "cut short: the JPEG ends after 12 bytes" {
		t.Errorf("error %v, want the measurer's words", err)
	}
	if b, err := p.Picture(t.Context(), []byte("any"), 10); err != nil || string(b) != "picture" {
		t.Errorf("picture %q, %v", b, err)
	}
}

func TestOnePhotoCostsOneAnswer(t *testing.T) {
	for photo, want := range map[string]error{"die": ErrDied, "eat": ErrDied, "hang": ErrTooLong} {
		t.Run(photo, func(t *testing.T) {
			p := pool(t, "obeys", func(c *Config) {
				c.Children = 1
				if photo == "hang" {
					c.Time = 2 * time.Second
				}
			})
			if _, err := p.Measure(t.Context(), []byte(photo), vision.Options{}); !errors.Is(err, want) {
				t.Errorf("error %v, want %v", err, want)
			}
			if _, err := p.Measure(t.Context(), []byte("any"), vision.Options{}); err != nil {
				t.Errorf("the photo after it: %v", err)
			}
		})
	}
}

func TestChildThatCannotServe(t *testing.T) {
	for _, child := range []string{"silent", "mumbles"} {
		p := pool(t, child, func(c *Config) { c.Time = time.Second })
		if _, err := p.Measure(t.Context(), []byte("any"), vision.Options{}); err == nil {
			t.Errorf("%s child: no error", child)
		}
	}
	p := pool(t, "obeys", func(c *Config) { c.Command = func() *exec.Cmd { return exec.Command("/nowhere/at/all") } })
	if _, err := p.Measure(t.Context(), []byte("any"), vision.Options{}); !errors.Is(err, ErrStart) {
		t.Errorf("error %v, want ErrStart", err)
	}
}

func TestQueueIsBounded(t *testing.T) {
	p := pool(t, "obeys", func(c *Config) { c.Children, c.Waiting = 1, 1 })
	ctx, cancel := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	for range 2 { // one at work, one waiting
		wg.Go(func() { _, _ = p.Measure(ctx, []byte("hang"), vision.Options{}) })
	}
	for p.queued.Load() < 2 {
		runtime.Gosched()
	}
	if _, err := p.Measure(t.Context(), []byte("any"), vision.Options{}); !errors.Is(err, ErrBusy) {
		t.Errorf("error %v, want ErrBusy", err)
	}
	cancel()
	wg.Wait()
	if _, err := p.Measure(t.Context(), []byte("any"), vision.Options{}); err != nil {
		t.Errorf("after the queue: %v", err)
	}
}

func TestCloseEndsThoseAtWork(t *testing.T) {
	p := pool(t, "obeys", nil)
	done := make(chan error, 1)
	go func() {
		_, err := p.Measure(context.Background(), []byte("hang"), vision.Options{})
		done <- err
	}()
	for p.queued.Load() < 1 {
		runtime.Gosched()
	}
	p.Close()
	if err := <-done; !errors.Is(err, ErrClosed) {
		t.Errorf("error %v, want ErrClosed", err)
	}
	if _, err := p.Measure(t.Context(), []byte("any"), vision.Options{}); !errors.Is(err, ErrClosed) {
		t.Errorf("error %v, want ErrClosed", err)
	}
}

func TestChildIsReplacedAfterItsJobs(t *testing.T) {
	started := 0
	p := pool(t, "obeys", func(c *Config) {
		command := c.Command
		c.Children, c.Jobs = 1, 2
		c.Command = func() *exec.Cmd { started++; return command() }
	})
	for range 5 {
		if _, err := p.Measure(t.Context(), []byte("any"), vision.Options{}); err != nil {
			t.Fatal(err)
		}
	}
	if started != 3 { // two photos, two photos, one
		t.Errorf("%d children were started, want 3", started)
	}
}

// A child with its usual limits has room for vision.
func TestVision(t *testing.T) {
	photo, err := os.ReadFile("../../../testdata/trays/larkfield_demo.jpg")
	if err != nil {
		t.Fatal(err)
	}
	p := pool(t, "vision", nil)
	got, err := p.Measure(t.Context(), photo, vision.Options{})
	if err != nil {
		t.Fatal(err)
	}
	want, err := vision.Measure(photo, vision.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, want) {
		t.Error("a tray measured apart is not the same")
	}
	b, err := p.Picture(t.Context(), photo, 300)
	if err != nil {
		t.Fatal(err)
	}
	if c, err := jpeg.DecodeConfig(bytes.NewReader(b)); err != nil || max(c.Width, c.Height) != 300 {
		t.Errorf("picture of %d x %d px, %v; want a long side of 300", c.Width, c.Height, err)
	}
	if _, err := p.Measure(t.Context(), blank(t), vision.Options{}); !errors.Is(err, vision.ErrNoHalves) {
		t.Errorf("error %v, want ErrNoHalves", err)
	}
}

func blank(t *testing.T) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 400, 300))
	for i := range 400 * 300 {
		img.Set(i%400, i/400, color.RGBA{200, 180, 90, 255})
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func FuzzReadFrame(f *testing.F) {
	var b bytes.Buffer
	if err := writeFrame(&b, job{Verb: measure}, []byte("photo")); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	f.Add([]byte{0xff, 0xff, 0xff, 0xff})
	f.Fuzz(func(t *testing.T, frame []byte) {
		var j job
		body, err := readFrame(bytes.NewReader(frame), &j)
		if err != nil {
			return
		}
		var again bytes.Buffer
		if err := writeFrame(&again, j, body); err != nil {
			t.Fatal(err)
		}
		var same job
		if got, err := readFrame(&again, &same); err != nil || !bytes.Equal(got, body) || !reflect.DeepEqual(j, same) {
			t.Errorf("written and read again: %v, %v", same, err)
		}
	})
}
