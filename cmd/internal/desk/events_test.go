package desk

import (
	"bufio"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"
)

func TestEvents(t *testing.T) {
	h := newHub()
	s := httptest.NewServer(http.HandlerFunc(h.stream))
	defer s.Close()
	r, err := http.Get(s.URL)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if kind := r.Header.Get("Content-Type"); kind != "text/event-stream" {
		t.Errorf("type %q", kind)
	}
	lines := bufio.NewScanner(r.Body)
	lines.Scan() // ": listening": from here on it is a listener
	h.tell(event{What: "tray", Block: "Brook 5"})
	for lines.Scan() && lines.Text() == "" {
	}
	if got := lines.Text(); got != `data: {"what":"tray","block":"Brook 5"}` {
		t.Errorf("got %q", got)
	}
	h.close()
	for lines.Scan() {
		if strings.HasPrefix(lines.Text(), "data") {
			t.Errorf("after the end: %q", lines.Text())
		}
	}
	if _, ok := h.listen(); ok {
		t.Error("a closed hub took a listener")
	}
}

func TestSlowListenerIsCutOff(t *testing.T) {
	h := newHub()
	slow, _ := h.listen()
	quick, _ := h.listen()
	done := make(chan int)
	go func() {
		n := 0
		for range quick {
			n++
		}
		done <- n
	}()
	for range buffered + 1 {
		h.tell(event{What: "tray"})
		time.Sleep(time.Millisecond) // the quick one keeps up
	}
	n := 0
	for range slow {
		n++
	}
	if n != buffered {
		t.Errorf("the slow listener got %d events, want %d and the end", n, buffered)
	}
	h.leave(slow) // again, as its handler does
	h.close()
	if n := <-done; n != buffered+1 {
		t.Errorf("the quick listener got %d events, want %d", n, buffered+1)
	}
}
