// Package plateau is the fold at the heart of boildown: readings and marks go
// in one at a time, advice comes out. Live cooking, replay, trace, tests and
// benchmarks all run the same [Step].
//
// [Start] makes a [State] from a [Config]; [Step] is the only way on from
// there. The package has no clock, no goroutine and no I/O: time is the time
// that each [Input] carries, and the same inputs give the same advice at any
// speed.
package plateau
