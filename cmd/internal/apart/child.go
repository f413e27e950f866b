package apart

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os/exec"
)

// ErrStart says that no child could be started at all.
var ErrStart = errors.New("the part of the program that measures photos could not be started")

// child is one process that measures; the zero process is one not yet started.
type child struct {
	command func() *exec.Cmd

	cmd  *exec.Cmd
	in   io.WriteCloser
	out  *bufio.Reader
	jobs int // done by this process
}

// do sends one job and waits for its answer. After any failure the process is
// ended; the next job starts a fresh one.
func (c *child) do(ctx context.Context, j job, photo []byte) (a answer, body []byte, err error) {
	if err := ctx.Err(); err != nil {
		return a, nil, err
	}
	if err := c.start(ctx); err != nil {
		return a, nil, err
	}
	defer context.AfterFunc(ctx, c.killer())()
	if err = writeFrame(c.in, j, photo); err == nil {
		body, err = readFrame(c.out, &a)
	}
	c.jobs++
	if err != nil || ctx.Err() != nil {
		c.end()
		err = errors.Join(ctx.Err(), err)
	}
	return a, body, err
}

// start does nothing while the process lives.
func (c *child) start(ctx context.Context) error {
	if c.cmd != nil {
		return nil
	}
	cmd := c.command()
	in, err := cmd.StdinPipe()
	if err != nil {
		return fmt.Errorf("%w: %w", ErrStart, err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return fmt.Errorf("%w: %w", ErrStart, err)
	}
	if err := cmd.Start(); err != nil {
		return fmt.Errorf("%w: %w", ErrStart, err)
	}
	c.cmd, c.in, c.out, c.jobs = cmd, in, bufio.NewReader(out), 0
	defer context.AfterFunc(ctx, c.killer())()
	var hello answer
	if _, err := readFrame(c.out, &hello); err != nil || !hello.Ready {
		c.end()
		return fmt.Errorf("%w: it ended or said something else: %w", ErrStart, err)
	}
	return nil
}

// killer gives a function that kills the process as it is now, also when
// another has taken its place by the time it is called.
func (c *child) killer() func() {
	process := c.cmd.Process
	return func() { _ = process.Kill() }
}

// end kills the process, waits for it and forgets it.
func (c *child) end() {
	if c.cmd == nil {
		return
	}
	_ = c.in.Close()
	_ = c.cmd.Process.Kill()
	_ = c.cmd.Wait()
	c.cmd, c.in, c.out = nil, nil, nil
}
