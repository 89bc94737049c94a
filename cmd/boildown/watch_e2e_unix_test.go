//go:build unix

package main

import (
	"bytes"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"boildown/probe/probetest"
)

// mosquitto runs a broker that this project did not write and returns where it
// listens.
func mosquitto(t *testing.T) (port string) {
	t.Helper()
	exe, err := exec.LookPath("mosquitto")
	if err != nil {
		if exe, err = exec.LookPath("/usr/sbin/mosquitto"); err != nil {
			t.Skip("mosquitto is not installed")
		}
	}
	port = probetest.FreePort(t)
	file := filepath.Join(t.TempDir(), "mosquitto.conf")
	if err := os.WriteFile(file, []byte("listener "+port+" 127.0.0.1\nallow_anonymous true\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(exe, "-c", file)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		cmd.Process.Kill()
		cmd.Wait()
	})
	return port
}

// overheard is what a program has written so far.
type overheard struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (o *overheard) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.b.Write(p)
}

func (o *overheard) String() string {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.b.String()
}

// says waits until the program has written all of the words.
func (o *overheard) says(t *testing.T, words ...string) {
	t.Helper()
	look := time.NewTicker(20 * time.Millisecond)
	defer look.Stop()
	limit := time.After(patience)
	for _, w := range words {
		for !strings.Contains(o.String(), w) {
			select {
			case <-look.C:
			case <-limit:
				t.Fatalf("no %q in\n%s", w, o)
			}
		}
	}
}

// start runs a command until the test ends and listens to it.
func start(t *testing.T, name string, args ...string) (*subject, *overheard) {
	t.Helper()
	var out overheard
	cmd := watched(t, exec.Command(name, args...))
	cmd.Stdout, cmd.Stderr = &out, &out
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		cmd.Process.Kill()
		cmd.Wait()
		cmd.leavesNothing(t)
	})
	return cmd, &out
}

// Two batches publish to a real broker. The broker's own client and a second
// screen follow both; the one whose program is killed is called lost by its
// last will, the other goes on, and a watcher who comes later sees the same.
func TestPublishAndWatch(t *testing.T) {
	t.Parallel()
	client, err := exec.LookPath("mosquitto_sub")
	if err != nil {
		t.Skip("mosquitto's clients are not installed")
	}
	port, exe := mosquitto(t), program(t)
	base := "mqtt://127.0.0.1:" + port + "/kitchen"
	_, lines := start(t, exe, "watch", base)
	lines.says(t, "broker: connected")
	_, heard := start(t, client, "-h", "127.0.0.1", "-p", port, "-v", "-t", "kitchen/#")
	s := onScreen(t, 100, 24, false, "watch", base)
	s.sees("No pot publishes here yet")

	cook := func(pot string, more ...string) *subject {
		cmd, _ := start(t, exe, append([]string{"cook", "--demo", "--dir", t.TempDir(), "--publish", base + "/" + pot, "--name", "Dip " + pot}, more...)...)
		return cmd
	}
	doomed := cook("left", "--speed", "2")
	s.sees("left Dip left", "°F")
	cook("right", "--speed", "100")
	s.sees("right Dip right", "2 pots")
	lines.says(t, "left Dip left:", "right Dip right:", "stall", "TAKE A LOOK")
	heard.says(t, "kitchen/right/celsius ", "kitchen/right/phase stall", `"by":"stall-line"`, `"kind":"pull"`, "kitchen/left/status online")

	doomed.Process.Kill()
	heard.says(t, "kitchen/left/status offline")
	s.sees("LOST")
	lines.says(t, "LOST: Its program or its network has vanished")
	heard.says(t, `"over":true`, "kitchen/right/status offline")
	s.sees("OVER")
	late := onScreen(t, 60, 12, false, "watch", base, "--unit", "C")
	late.sees("LOST", "OVER", "°C")
	late.press("q")
	if status := late.ends(); status != 0 {
		t.Errorf("exit status %d", status)
	}
	late.restored()
}

// A broker that is not there neither stops a batch nor slows it, and the cook
// is told.
func TestPublishToNobody(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", "127.0.0.1:0") // accepts and never says a word
	if err != nil {
		t.Skipf("no network: %v", err)
	}
	defer l.Close()
	for name, address := range map[string]string{"mute": l.Addr().String(), "absent": "127.0.0.1:1"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			cmd := watched(t, exec.Command(program(t), "cook", "--demo", "--speed", "150", "--dir", dir, "--publish", fmt.Sprintf("mqtt://%s/pot", address)))
			out, err := cmd.CombinedOutput()
			cmd.leavesNothing(t)
			if err != nil {
				t.Fatalf("%v\n%s", err, out)
			}
			if !strings.Contains(string(out), "cannot publish at "+address) || !strings.Contains(string(out), "PULL") {
				t.Errorf("the cook printed\n%s", out)
			}
			if !only(t, dir).Closed {
				t.Error("the record was not closed")
			}
		})
	}
}
