// Package hidraw reads thermometers that plug in as a USB HID device, as a
// keyboard does, and not as a serial port, by Linux's hidraw interface (the
// kernel's Documentation/hid/hidraw.rst).
//
// Such devices send small reports whose layout only their maker knows, so the
// person says where in a report the temperature lies: [Layout]. [Find] lists
// the devices by name.
package hidraw
