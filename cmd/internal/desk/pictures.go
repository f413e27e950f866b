package desk

import (
	"bytes"
	"container/list"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"sync"

	"github.com/disintegration/imaging"

	"traystage/scoring"
	"traystage/scoring/ledger"
)

// sides are the sizes in which photos are shown, long side in pixels.
var sides = map[string]int{"small": 640, "screen": 1600, "large": 3200}

// mostPictures are kept in memory: a few hundred kilobytes each.
const mostPictures = 60

// pictures makes the pictures that pages show from the season's photos, apart,
// and keeps the last ones.
type pictures struct {
	measurer Measurer
	season   *ledger.Season

	mu   sync.Mutex
	last *list.List // of kept, the one used last in front
	at   map[string]*list.Element
}

type kept struct {
	name string
	jpeg []byte
}

func newPictures(m Measurer, s *ledger.Season) *pictures {
	return &pictures{measurer: m, season: s, last: list.New(), at: map[string]*list.Element{}}
}

// photo is a tray's photo, upright, as JPEG.
func (p *pictures) photo(ctx context.Context, hash string, side int) ([]byte, error) {
	return p.keep(fmt.Sprint(hash, " ", side), func() ([]byte, error) {
		photo, err := p.season.Photo(ctx, hash)
		if err != nil {
			return nil, err
		}
		return p.measurer.Picture(ctx, photo, side)
	})
}

// faceSide is that of one half's picture, px: large on a phone of two pixels a point.
const faceSide = 640

// faceMargin is how much wider than the half its picture is, as that of a plate:
// so half and plates are seen at one scale.
const faceMargin = 1.08

// face is one half with a margin around it, as a square JPEG.
func (p *pictures) face(ctx context.Context, on scoring.Report, f scoring.Fruit) ([]byte, error) {
	return p.keep(fmt.Sprint(on.PhotoHash, " face ", f.Place.Centre, f.Place.Radius), func() ([]byte, error) {
		tray, err := p.photo(ctx, on.PhotoHash, sides["large"])
		if err != nil {
			return nil, err
		}
		img, err := jpeg.Decode(bytes.NewReader(tray))
		if err != nil {
			return nil, err
		}
		return cutFace(img, float64(on.Width), f.Place)
	})
}

// cutFace cuts a half out of a picture of a photo that was wide px across.
func cutFace(img image.Image, wide float64, at scoring.Place) ([]byte, error) {
	scale := float64(img.Bounds().Dx()) / wide
	reach := faceMargin * at.Radius * scale
	x, y := at.Centre[0]*scale, at.Centre[1]*scale
	square := image.Rect(int(x-reach), int(y-reach), int(x+reach)+1, int(y+reach)+1)
	ground := imaging.New(square.Dx(), square.Dy(), color.Gray{0x80})
	seen := square.Intersect(img.Bounds())
	cut := imaging.Paste(ground, imaging.Crop(img, seen), seen.Min.Sub(square.Min))
	var b bytes.Buffer
	err := jpeg.Encode(&b, imaging.Resize(cut, faceSide, faceSide, imaging.Lanczos), &jpeg.Options{Quality: 85})
	return b.Bytes(), err
}

func (p *pictures) keep(name string, draw func() ([]byte, error)) ([]byte, error) {
	p.mu.Lock()
	if e, ok := p.at[name]; ok {
		p.last.MoveToFront(e)
		p.mu.Unlock()
		return e.Value.(kept).jpeg, nil
	}
	p.mu.Unlock()
	b, err := draw()
	if err != nil {
		return nil, err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if _, ok := p.at[name]; !ok {
		p.at[name] = p.last.PushFront(kept{name, b})
	}
	for p.last.Len() > mostPictures {
		oldest := p.last.Back()
		delete(p.at, oldest.Value.(kept).name)
		p.last.Remove(oldest)
	}
	return b, nil
}
