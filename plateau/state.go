package plateau

// State is all that the fold knows. It is a comparable value without pointers,
// slices or maps: two folds that saw the same inputs are == and an old State
// stays usable.
type State struct {
	cfg Config
}

// Start returns the state before the first input.
func Start(cfg Config) State { return State{cfg: cfg} }

// Config returns what the fold was started with.
func (s State) Config() Config { return s.cfg }

// Step folds one input into the state and says what follows from it.
func Step(s State, in Input) (State, Advice) {
	return s, Advice{At: in.At, Target: s.cfg.Target}
}
