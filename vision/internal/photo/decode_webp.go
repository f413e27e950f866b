package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"image"

	"golang.org/x/image/vp8"
	"golang.org/x/image/webp"
)

// decodeWebP decodes a WebP and makes sure that its data was used up. WebP has
// no checksum, and where bytes are wrong its decoder goes on with whatever it reads: then it
// comes to the picture's end before that of the data, or the other way round.
func decodeWebP(ctx context.Context, b []byte) (image.Image, error) {
	whole := make(chan bool, 1)
	go func() { whole <- webpUsedUp(ctx, b) }()
	img, err := decoded(func() (image.Image, error) { return webp.Decode(reader{ctx, bytes.NewReader(b)}) })
	used := <-whole
	switch {
	case err != nil:
		return nil, damaged(WebP, "cannot be decoded")
	case !used:
		return nil, damaged(WebP, "holds more than its picture needs")
	}
	return img, nil
}

// webpUsedUp looks for the chunk that holds the picture.
func webpUsedUp(ctx context.Context, b []byte) bool {
	for rest := b[12:]; len(rest) >= 8; {
		n := int64(binary.LittleEndian.Uint32(rest[4:]))
		if n > int64(len(rest)-8) {
			return false
		}
		kind, body := string(rest[:4]), rest[8:8+n]
		rest = rest[min(8+n+n%2, int64(len(rest))):]
		if kind == "VP8 " {
			return frameUsedUp(ctx, body)
		}
	}
	return false
}

// fewBytes is how much of the data may be left over, as encoders fill up their last word.
const fewBytes = 4

// frameUsedUp is true where the data is so short that it is not enough with a few bytes
// less: at the end of the modes of prediction, and at that of the picture. Its decoder
// does not tell how far it read, but misses what is not there.
func frameUsedUp(ctx context.Context, frame []byte) bool {
	if len(frame) < 10 {
		return false
	}
	tag := uint32(frame[0]) | uint32(frame[1])<<8 | uint32(frame[2])<<16
	first := int(tag >> 5)
	if first < fewBytes || 10+first+fewBytes > len(frame) {
		return false
	}
	tag -= fewBytes << 5
	modes := append([]byte{byte(tag), byte(tag >> 8), byte(tag >> 16)}, frame[3:10+first-fewBytes]...)
	modes = append(modes, frame[10+first:]...)
	return !frameDecodes(ctx, modes) && !frameDecodes(ctx, frame[:len(frame)-fewBytes])
}

func frameDecodes(ctx context.Context, frame []byte) bool {
	_, err := decoded(func() (image.Image, error) {
		d := vp8.NewDecoder()
		d.Init(reader{ctx, bytes.NewReader(frame)}, len(frame))
		if _, err := d.DecodeFrameHeader(); err != nil {
			return nil, err
		}
		return d.DecodeFrame()
	})
	return err == nil
}
