//go:build unix

package scpi

import (
	"context"
	"math"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"boildown/probe"
	"boildown/probe/port"
	"boildown/probe/probetest"
)

// peer is an instrument in the shell, so that socat and not this package does
// the talking: it answers as SCPI-1999 prints it.
const peer = `#!/bin/sh
while read -r line; do
  case "$(printf %s "$line" | tr -d '\r')" in
    '*IDN?') echo 'INVENTED,TEMP-1,0,1.0' ;;
    'UNIT:TEMP?') echo F ;;
    'MEAS:TEMP?') echo '+2.35000000E+02' ;;
    'SYST:ERR?') echo '0,"No error"' ;;
  esac
done
`

// TestSocat talks to the peer over TCP and over a serial line.
func TestSocat(t *testing.T) {
	probetest.LeavesNothing(t)
	if _, err := exec.LookPath("socat"); err != nil {
		t.Skip("socat is not installed")
	}
	dir := t.TempDir()
	script, node := filepath.Join(dir, "peer"), filepath.Join(dir, "line")
	if err := os.WriteFile(script, []byte(peer), 0o755); err != nil {
		t.Fatal(err)
	}
	serial, err := port.New(port.Settings{Path: node})
	if err != nil {
		t.Fatal(err)
	}
	free := probetest.FreePort(t)
	address := net.JoinHostPort("127.0.0.1", free)
	for _, row := range []struct {
		name   string
		listen string
		set    Settings
	}{
		{"TCP", "TCP-LISTEN:" + free + ",bind=127.0.0.1,reuseaddr,fork", Settings{Name: address, Dial: TCP(address)}},
		{"serial", "PTY,raw,echo=0,link=" + node, Settings{Name: node, Dial: serial.Dial}},
	} {
		t.Run(row.name, func(t *testing.T) {
			ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
			defer cancel()
			server := exec.CommandContext(ctx, "socat", row.listen, "EXEC:"+script)
			if err := server.Start(); err != nil {
				t.Fatal(err)
			}
			defer server.Wait()
			defer cancel()
			src, err := New(row.set)
			if err != nil {
				t.Fatal(err)
			}
			start := time.Now()
			read := 0
			var last probe.Event
			src.Run(ctx, func() time.Duration { return time.Since(start) }, func(e probe.Event) {
				last = e
				if e.HasReading && e.Reading.Fault == probe.FaultNone && math.Abs(float64(e.Reading.C-probe.Fahrenheit(235))) < 1e-9 {
					read++
				}
				if read == 3 {
					cancel()
				}
			})
			if read != 3 {
				t.Errorf("%d readings; last event %+v", read, last)
			}
		})
	}
}
