package desk

import (
	"fmt"
	"io"
	"log/slog"
	"os"
)

// OpenLog makes the log of who asked for what: a file that its owner alone reads,
// or, without a name, errors alone on out.
func OpenLog(name string, out io.Writer) (*slog.Logger, func() error, error) {
	if name == "" {
		return slog.New(slog.NewTextHandler(out, &slog.HandlerOptions{Level: slog.LevelError})), func() error { return nil }, nil
	}
	f, err := os.OpenFile(name, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
	if err != nil {
		return nil, nil, fmt.Errorf("the log: %w", err)
	}
	return slog.New(slog.NewTextHandler(f, nil)), f.Close, nil
}
