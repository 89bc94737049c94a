// Package scpi reads instruments that speak SCPI, the Standard Commands for
// Programmable Instruments (SCPI-1999, on IEEE 488.2), over a serial line or
// a TCP socket: bench multimeters and data loggers with a temperature range.
//
// [New] makes a source. It asks for the instrument's identity once, which
// IEEE 488.2 demands of every instrument, and then for its temperature again
// and again. What the instrument finds wrong is read from its error queue and
// told in its own words.
package scpi
