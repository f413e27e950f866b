package main

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"flag"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"traystage/cmd/internal/demo"
)

var update = flag.Bool("update", false, "rewrite the expected output of the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"traystage": func() { os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr)) },
	})
}

// The scripts say what each command does, as a person at a terminal sees it.
func TestScripts(t *testing.T) {
	trays, err := filepath.Abs("../../testdata/trays")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: *update,
		Setup: func(e *testscript.Env) error {
			e.Setenv("TRAYS", trays)
			e.Setenv("TRAYSTAGE_HOME", filepath.Join(e.WorkDir, "home"))
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"status":     wantStatus,
			"cutshort":   cutShort,
			"picture":    makePicture,
			"reencode":   reencode,
			"nooutlines": noOutlines,
			"spoil":      spoil,
		},
	})
}

// wantStatus runs traystage with the arguments and checks its exit code: status CODE ARG...
func wantStatus(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: status CODE ARG...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec("traystage", args[1:]...); err != nil {
		got = 1
		if strings.Contains(err.Error(), "exit status 2") {
			got = 2
		}
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

// cutShort writes the first bytes of a file: cutshort FROM TO BYTES.
func cutShort(ts *testscript.TestScript, _ bool, args []string) {
	b, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	n, err := strconv.Atoi(args[2])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), b[:n], 0o644))
}

// makePicture writes an awkward picture: picture KIND FILE.
func makePicture(ts *testscript.TestScript, _ bool, args []string) {
	var b bytes.Buffer
	switch kind := args[0]; kind {
	case "1x1":
		ts.Check(png.Encode(&b, image.NewGray(image.Rect(0, 0, 1, 1))))
	case "huge": // a whole PNG of 64 x 64 whose header says 30000 x 30000
		ts.Check(png.Encode(&b, image.NewGray(image.Rect(0, 0, 64, 64))))
		header := b.Bytes()[12:29] // IHDR and its data; its checksum follows
		binary.BigEndian.PutUint32(header[4:], 30000)
		binary.BigEndian.PutUint32(header[8:], 30000)
		binary.BigEndian.PutUint32(b.Bytes()[29:], crc32.ChecksumIEEE(header))
	case "tiff":
		b.WriteString("II*\x00\x08\x00\x00\x00\x00\x00\x00\x00\x00\x00")
	default:
		ts.Fatalf("no such picture: %s", kind)
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), b.Bytes(), 0o644))
}

// reencode writes a photo anew as a PNG of another kind, or as a JPEG without EXIF: reencode KIND FROM TO.
func reencode(ts *testscript.TestScript, _ bool, args []string) {
	f, err := os.Open(ts.MkAbs(args[1]))
	ts.Check(err)
	defer f.Close()
	src, err := jpeg.Decode(f)
	ts.Check(err)
	var b bytes.Buffer
	r := src.Bounds()
	draw := func(dst interface {
		image.Image
		Set(x, y int, c color.Color)
	}) {
		for y := r.Min.Y; y < r.Max.Y; y++ {
			for x := r.Min.X; x < r.Max.X; x++ {
				dst.Set(x, y, src.At(x, y))
			}
		}
		ts.Check(png.Encode(&b, dst))
	}
	switch args[0] {
	case "16-bit":
		draw(image.NewNRGBA64(r))
	case "grey":
		draw(image.NewGray(r))
	case "alpha":
		img := image.NewNRGBA(r)
		for y := r.Min.Y; y < r.Max.Y; y++ {
			for x := r.Min.X; x < r.Max.X; x++ {
				c := color.NRGBAModel.Convert(src.At(x, y)).(color.NRGBA)
				c.A = 254
				img.SetNRGBA(x, y, c)
			}
		}
		ts.Check(png.Encode(&b, img))
	case "plain-jpeg":
		ts.Check(jpeg.Encode(&b, src, &jpeg.Options{Quality: 92}))
	default:
		ts.Fatalf("no such kind: %s", args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[2]), b.Bytes(), 0o644))
}

// noOutlines rewrites a file of JSON, one name a line, without the points of
// outlines, which are many; each outline must have some: nooutlines FILE.
func noOutlines(ts *testscript.TestScript, _ bool, args []string) {
	b, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	var photo map[string]any
	ts.Check(json.Unmarshal(b, &photo))
	for _, h := range photo["halves"].([]any) {
		half := h.(map[string]any)
		if points := half["outline"].([]any); len(points) < 16 {
			ts.Fatalf("half %v: outline of %d points", half["number"], len(points))
		}
		delete(half, "outline")
	}
	out, err := json.MarshalIndent(photo, "", " ")
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), append(out, '\n'), 0o644))
}

func TestDemoTrayIsTheKeptOne(t *testing.T) {
	kept, err := os.ReadFile("../../testdata/trays/larkfield_demo.jpg")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(kept, demo.Tray) {
		t.Error("cmd/internal/demo/larkfield_demo.jpg differs from testdata/trays/larkfield_demo.jpg; copy it again")
	}
}

// spoil changes a byte of one file below a folder: spoil FOLDER.
func spoil(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: spoil FOLDER")
	}
	var file string
	err := filepath.WalkDir(ts.MkAbs(args[0]), func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			file = path
		}
		return err
	})
	ts.Check(err)
	b, err := os.ReadFile(file)
	ts.Check(err)
	b[len(b)/2] ^= 1
	ts.Check(os.WriteFile(file, b, 0o644))
}
