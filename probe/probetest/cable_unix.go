//go:build unix

package probetest

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/creack/pty"
	"golang.org/x/term"
)

// Cable is a serial probe on a pseudo-terminal: what a test sends on it comes
// out of a port that can be opened like a real one. It can be pulled out and
// plugged in again, under another name each time.
type Cable struct {
	t      testing.TB
	link   string
	master *os.File
	slave  *os.File // held open, so that what is sent before the port is opened is kept
}

// NewCable returns a plugged-in cable. It is skipped where there are no
// pseudo-terminals.
func NewCable(t testing.TB) *Cable {
	t.Helper()
	c := &Cable{t: t, link: filepath.Join(t.TempDir(), "probe")}
	c.Plug()
	t.Cleanup(c.Unplug)
	return c
}

// Path returns a lasting name, a link to wherever the cable is now, as under
// /dev/serial/by-id.
func (c *Cable) Path() string { return c.link }

// Node returns the name of the port itself, which changes with each Plug.
func (c *Cable) Node() string { return c.slave.Name() }

// Plug plugs the cable in, under another name than before.
func (c *Cable) Plug() {
	c.t.Helper()
	old := c.slave
	master, slave, err := pty.Open()
	if err != nil {
		c.t.Skipf("no pseudo-terminal: %v", err)
	}
	if old != nil && old.Name() == slave.Name() {
		// The kernel hands out the lowest number: hold it and take the next.
		held, heldSlave := master, slave
		master, slave, err = pty.Open()
		held.Close()
		heldSlave.Close()
		if err != nil {
			c.t.Skipf("no second pseudo-terminal: %v", err)
		}
	}
	if _, err := term.MakeRaw(int(slave.Fd())); err != nil {
		c.t.Fatalf("setting %s raw: %v", slave.Name(), err)
	}
	c.master, c.slave = master, slave
	next := c.link + ".new"
	if err := os.Symlink(slave.Name(), next); err != nil {
		c.t.Fatal(err)
	}
	if err := os.Rename(next, c.link); err != nil {
		c.t.Fatal(err)
	}
}

// Unplug pulls the cable out: whoever reads the port sees it hang up, and its
// lasting name is gone.
func (c *Cable) Unplug() {
	if c.master == nil {
		return
	}
	os.Remove(c.link)
	c.slave.Close()
	c.master.Close()
	c.master = nil
}

// Send sends text. It blocks once some 20,000 bytes wait unread.
func (c *Cable) Send(text string) {
	c.t.Helper()
	if c.master == nil {
		c.t.Fatal("probetest: sending on a cable that is unplugged")
	}
	if _, err := c.master.WriteString(text); err != nil {
		c.t.Fatalf("sending on %s: %v", c.slave.Name(), err)
	}
}

// Receive reads what the program sent, up to len(buf) bytes.
func (c *Cable) Receive(buf []byte) (int, error) { return c.master.Read(buf) }
