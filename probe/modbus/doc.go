// Package modbus reads one temperature register of a controller, transmitter
// or data logger by Modbus RTU on a serial line or Modbus TCP on a network
// (MODBUS Application Protocol Specification V1.1b3 and MODBUS over Serial
// Line V1.02, modbus.org).
//
// [New] makes a source from [Settings]; [ParseRegister] reads the register
// numbers that manuals print. The client only ever reads, with function 3 or
// 4: nothing it does can change an instrument's settings.
package modbus
