// Package probetest holds stand-ins for probes, for tests: [Playback] plays
// back events on the batch clock, and on Unix [Cable] is a pseudo-terminal
// that can be unplugged and plugged in again under another name. [Watch] runs any
// source for a while and returns what it told; [LeavesNothing] sees to it that a
// test leaves no goroutine and no descriptor.
package probetest
