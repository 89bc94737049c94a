package port

import (
	"fmt"
	"strings"

	"go.bug.st/serial"

	"boildown/probe"
)

// DefaultBaud is the speed used when none is given: what most small boards use.
const DefaultBaud = 9600

// Settings says which port to read and how.
type Settings struct {
	Path   string // device node, COM name, or a link under /dev/serial/by-id; or "" with USB
	USB    string // "VID:PID" or "VID:PID:SERIAL", as [Found.USB] gives it; wins over Path
	Baud   int    // 0 for DefaultBaud
	Frame  string // data bits, parity (N, E, O) and stop bits, as in "8N1" or "7E1"; "" for 8N1
	Format probe.Format
}

// mode returns the line settings in the serial library's terms.
func (s Settings) mode() (*serial.Mode, error) {
	// InitialStatusBits stays nil: pseudo-terminals have no modem lines.
	m := &serial.Mode{BaudRate: s.Baud, DataBits: 8}
	if m.BaudRate == 0 {
		m.BaudRate = DefaultBaud
	}
	if m.BaudRate < 50 || m.BaudRate > 4_000_000 {
		return nil, fmt.Errorf("port: no serial line runs at %d baud: use what the board's sketch or manual says, often 9600 or 115200", s.Baud)
	}
	frame := strings.ToUpper(s.Frame)
	if frame == "" {
		frame = "8N1"
	}
	bad := fmt.Errorf("port: %q is no line setting: write data bits, parity and stop bits, as in 8N1 or 7E1", s.Frame)
	if len(frame) != 3 || frame[0] < '5' || frame[0] > '8' {
		return nil, bad
	}
	m.DataBits = int(frame[0] - '0')
	switch frame[1] {
	case 'N':
		m.Parity = serial.NoParity
	case 'E':
		m.Parity = serial.EvenParity
	case 'O':
		m.Parity = serial.OddParity
	default:
		return nil, bad
	}
	switch frame[2] {
	case '1':
		m.StopBits = serial.OneStopBit
	case '2':
		m.StopBits = serial.TwoStopBits
	default:
		return nil, bad
	}
	return m, nil
}

// identity is a USB device: vendor, product and, where it has one, serial
// number.
type identity struct{ vid, pid, serial string }

// parseIdentity reads "VID:PID" or "VID:PID:SERIAL".
func parseIdentity(s string) (identity, error) {
	part := strings.SplitN(s, ":", 3)
	if len(part) < 2 || !isHex4(part[0]) || !isHex4(part[1]) {
		return identity{}, fmt.Errorf("port: %q is no USB device: write VID:PID or VID:PID:SERIAL as \"boildown probes\" shows it, such as 2341:0043", s)
	}
	id := identity{vid: strings.ToUpper(part[0]), pid: strings.ToUpper(part[1])}
	if len(part) == 3 {
		id.serial = part[2]
	}
	return id, nil
}

func isHex4(s string) bool {
	return len(s) == 4 && strings.Trim(strings.ToUpper(s), "0123456789ABCDEF") == ""
}

// matches reports whether the port belongs to the device.
func (id identity) matches(f Found) bool {
	other, err := parseIdentity(f.USB)
	return err == nil && id.vid == other.vid && id.pid == other.pid && (id.serial == "" || strings.EqualFold(id.serial, other.serial))
}
