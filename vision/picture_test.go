package vision

import "testing"

func TestPictureIsUpright(t *testing.T) {
	b := bytesOf(t, "rotated.jpg")
	tray := measured(t, b)
	pic, err := Picture(b, 400, Options{})
	if err != nil {
		t.Fatal(err)
	}
	size := pic.Bounds().Size()
	if max(size.X, size.Y) != 400 || (size.X > size.Y) != (tray.Width > tray.Height) {
		t.Errorf("picture is %v, the upright photo %d x %d", size, tray.Width, tray.Height)
	}
	if _, err := Picture([]byte("no photo"), 400, Options{}); err == nil {
		t.Error("no error for what is no photo")
	}
}
