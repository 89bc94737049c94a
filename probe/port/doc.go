// Package port reads thermometers that print lines on a serial port.
//
// [New] makes a source from [Settings]; its Run opens the port, reads, and
// after an unplugged cable finds the device again, under another name too.
// [List] names the ports of this machine, and [Listen] says what one prints.
package port
