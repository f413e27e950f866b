package hevc

import "testing"

func TestStartsWithin(t *testing.T) {
	for _, tt := range []struct {
		unit []byte
		want bool
	}{
		{[]byte{0x26, 1, 0, 0, 3, 0, 0, 3, 1, 0x80}, false},
		{[]byte{0x26, 1, 0, 0, 4}, false},
		{[]byte{0x26, 1, 0, 0, 0, 7}, true},
		{[]byte{0x26, 1, 0, 0, 1, 7}, true},
		{[]byte{0x26, 1, 0, 0, 2}, true},
		{nil, false},
	} {
		if got := startsWithin(tt.unit); got != tt.want {
			t.Errorf("% x: %v", tt.unit, got)
		}
	}
}
