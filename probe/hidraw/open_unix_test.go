//go:build unix

package hidraw

import (
	"context"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"boildown/probe"
	"boildown/probe/probetest"
)

// A named pipe stands in for the node: what is written at once is read at once.
func TestRun_node(t *testing.T) {
	probetest.LeavesNothing(t)
	path := filepath.Join(t.TempDir(), "hidraw0")
	if err := syscall.Mkfifo(path, 0o600); err != nil {
		t.Skip(err)
	}
	src, err := New(Settings{Path: path, Layout: Layout{Report: -1, Offset: 1, Scale: 0.1}, Every: time.Nanosecond})
	if err != nil {
		t.Fatal(err)
	}
	device, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer device.Close()
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	device.Write([]byte{1, 0x64, 0x04})
	var got []probe.Celsius
	err = src.Run(ctx, func() time.Duration { return 0 }, func(e probe.Event) {
		if !e.HasReading || e.Reading.Fault != probe.FaultNone {
			return
		}
		got = append(got, e.Reading.C)
		if len(got) == 3 {
			cancel() // must end the Read that blocks
			return
		}
		device.Write([]byte{1, 0x64 + byte(len(got)), 0x04})
	})
	if err != nil || ctx.Err() != context.Canceled || len(got) != 3 {
		t.Fatalf("%v, %v, %v", got, err, ctx.Err())
	}
}
