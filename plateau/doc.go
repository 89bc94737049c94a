// Package plateau is the fold at the heart of boildown: readings and marks go
// in one at a time, advice comes out. Live cooking, replay, trace, tests and
// benchmarks all run the same [Step].
//
// [Start] makes a [State] from a [Config]; [Step] is the only way on from
// there. The package has no clock, no goroutine and no I/O: time is the time
// that each [Input] carries, and the same inputs give the same advice at any
// speed.
//
// # What holds for every step
//
//   - The state that goes in stays as it was. States are comparable values;
//     two folds of the same inputs are ==, wherever the fold was cut in two.
//   - An input earlier than the one before it changes nothing. Its advice
//     carries [probe.FaultOutOfOrder]. Equal times are fine.
//   - A doubted reading is named by its [probe.Fault], kept in the advice and
//     not used. Silence is an input too.
//   - A prompt begins on one advice only, stands while its reason does, and
//     clears with hysteresis.
//   - A step allocates nothing and costs the same however long the batch is.
//   - No number in a state or an advice is NaN or infinite, and
//     0 ≤ Low ≤ ETA ≤ High.
//
// # The way of a reading
//
// Step refuses what is late, corrects by the calibration, judges the reading
// (clean.go), hands it to the estimator and to the last minute's means
// (recent.go), moves the phase on (phase.go, boil.go), asks for the forecast,
// and raises and clears prompts: the melt's (melt.go), the cream's (cream.go),
// the boil's and the pull (pull.go), the dip's (cooling.go). What the cook
// told, and what an undo takes back, is in cook.go; the words are in text.go.
package plateau
