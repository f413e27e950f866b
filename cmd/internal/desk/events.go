package desk

import (
	"encoding/json"
	"fmt"
	"net/http"
	"sync"
	"time"
)

// event tells open pages to look again; it carries no figures, so that a page
// which missed some loses nothing by asking.
type event struct {
	What  string `json:"what"`            // "tray", "call", "readings", "block", "progress", "devices"
	Block string `json:"block,omitempty"` // the block it is about
	Of    string `json:"of,omitempty"`    // the id of a send, or a photo's hash
	Done  int    `json:"done,omitempty"`  // of progress: photos done
	All   int    `json:"all,omitempty"`   // of progress: photos in all
}

// hub hands events on to those who listen. One who does not keep up is cut
// off; the browser comes back and looks at everything afresh.
type hub struct {
	mu        sync.Mutex
	listeners map[chan event]bool
	closed    bool
}

// buffered is how many events may wait for a slow listener.
const buffered = 32

// mostListeners bounds the open streams: a shed has twenty phones.
const mostListeners = 200

func newHub() *hub { return &hub{listeners: map[chan event]bool{}} }

func (h *hub) tell(e event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for c := range h.listeners {
		select {
		case c <- e:
		default:
			h.drop(c)
		}
	}
}

// listen gives a channel of events that is closed when the listener is cut off.
func (h *hub) listen() (c chan event, ok bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closed || len(h.listeners) >= mostListeners {
		return nil, false
	}
	c = make(chan event, buffered)
	h.listeners[c] = true
	return c, true
}

func (h *hub) leave(c chan event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.drop(c)
}

// drop forgets a listener; h.mu is held.
func (h *hub) drop(c chan event) {
	if h.listeners[c] {
		delete(h.listeners, c)
		close(c)
	}
}

// close ends all streams, so that the server can end.
func (h *hub) close() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.closed = true
	for c := range h.listeners {
		h.drop(c)
	}
}

// pulse keeps a silent stream open through whatever lies between.
const pulse = 15 * time.Second

// stream serves events as text/event-stream.
func (h *hub) stream(w http.ResponseWriter, r *http.Request) {
	c, ok := h.listen()
	if !ok {
		http.Error(w, "no room for another listener", http.StatusServiceUnavailable)
		return
	}
	defer h.leave(c)
	w.Header().Set("Content-Type", "text/event-stream")
	out := http.NewResponseController(w)
	beat := time.NewTicker(pulse)
	defer beat.Stop()
	send := func(text string) bool {
		_ = out.SetWriteDeadline(time.Now().Add(2 * pulse)) // the server's own limit would cut the stream
		_, err := fmt.Fprint(w, text)
		return err == nil && out.Flush() == nil
	}
	if !send(": listening\n\n") {
		return
	}
	for {
		select {
		case e, open := <-c:
			if !open {
				return
			}
			data, err := json.Marshal(e)
			if err != nil || !send("data: "+string(data)+"\n\n") {
				return
			}
		case <-beat.C:
			if !send(": here\n\n") {
				return
			}
		case <-r.Context().Done():
			return
		}
	}
}
