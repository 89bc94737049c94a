// Package probe says what a temperature reading is and how to get one out of
// what a probe prints: units, faults, events, line framing, line formats, and
// the conversions of the common sensors.
//
// The two things most callers need are [Framer], which turns bytes into lines,
// and [Format.Parse], which turns a line into a temperature or a reason why
// there is none. [Sniff] looks at some lines and says which format fits.
//
// # No phantom readings
//
// A line that does not plainly hold one temperature yields none. A greeting, a
// set-point, a firmware version or half a line must never look like a pot, so
// the zero [Format] reads only what cannot be taken for anything else, and a
// line that holds several numbers needs a chosen field or key.
//
// # What is not done here
//
// The package opens no port and reads no clock: the folders below it do, one
// for each family of probes. Faults that only the readings before can show
// (a spike, a frozen value, a probe lifted out) are found by the fold.
package probe
