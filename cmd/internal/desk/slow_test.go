package desk

import (
	"context"
	"fmt"
	"io"
	"net"
	"strings"
	"testing"
	"time"
)

// Senders that say nothing, or stop in the middle, hold nothing for long.
func TestSlowSenders(t *testing.T) {
	wasHeaders, wasStalled := headers, stalled
	headers, stalled = 300*time.Millisecond, 300*time.Millisecond
	d := newTestDesk(t)
	ctx, stop := context.WithCancel(t.Context())
	open, ended := make(chan Address, 1), make(chan error, 1)
	go func() { ended <- d.Serve(ctx, Listening{}, func(a Address) { open <- a }) }()
	host := strings.Trim(strings.TrimPrefix((<-open).Local, "http://"), "/")
	t.Cleanup(func() { stop(); <-ended; headers, stalled = wasHeaders, wasStalled })
	body := "--x\r\nContent-Disposition: form-data; name=\"id\"\r\n\r\n" + someID
	for name, said := range map[string]string{
		"nothing":          "",
		"half a header":    "POST /sends/tray HTTP/1.1\r\nHost: " + host + "\r\nX-Slow: ",
		"half a form":      fmt.Sprintf("POST /sends/tray HTTP/1.1\r\nHost: %s\r\nContent-Type: multipart/form-data; boundary=x\r\nContent-Length: 5000000\r\n\r\n%s", host, body),
		"half a short one": fmt.Sprintf("POST /trays/%s/strike HTTP/1.1\r\nHost: %s\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 5000\r\n\r\nby=hm&why=", d.hash, host),
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			c, err := net.Dial("tcp", host)
			must(t, err)
			defer c.Close()
			_, err = io.WriteString(c, said)
			must(t, err)
			must(t, c.SetReadDeadline(time.Now().Add(20*time.Second)))
			if _, err := io.ReadAll(c); err != nil {
				t.Errorf("the desk still waits: %v", err)
			}
		})
	}
}
