// Package port reads thermometers that print lines, on a serial port or, by
// [NewStream], on standard input.
//
// [New] makes a source from [Settings]; its Run opens the port, reads, and
// after an unplugged cable finds the device again, under another name too.
// [List] names the ports of this machine, and [Listen] says what one prints.
//
// # Which device
//
// A name such as /dev/ttyUSB0 goes to whatever was plugged in first. So once
// a port is open its USB identity is remembered, and after a loss that device
// is looked for, never just any that sits under the old name.
//
// # What is not done here
//
// The package sends nothing: instruments that must be asked have packages of
// their own, which get an open port from [Port.Dial].
package port
