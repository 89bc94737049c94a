package pot

import "time"

// Hand pours the cream at a simulated pot for whoever stands there: as much as
// the cook is told can go in, nothing while he is told to hold it, and by the
// spoon when all should be in and is not. Where nobody tells anything it pours
// the portions of the batch's own [Config].
type Hand struct {
	pot    *Pot
	pours  bool
	told   bool          // what to pour has been told
	spoons bool          // the rest goes in by the spoon
	g      float64       // what it pours next, 0 to put the jug down
	at     time.Duration // and when; 0 when nothing is decided
	nextAt time.Duration // of a portion that nobody told, or of a spoon
}

// How a hand moves. All are guesses.
const (
	handReacts  = time.Second      // from the words to the jug
	handStops   = time.Second      // from the words to the jug held still
	handWaits   = 20 * time.Second // for words
	handForgets = 3 * time.Minute  // after the last of them, with cream left in the jug
	handGS      = 10               // g/s: slowly
	spoonG      = 15
	spoonEvery  = 4 * time.Second
)

// NewHand returns the hand at p.
func NewHand(p *Pot) *Hand { return &Hand{pot: p} }

// Told does what a cook's mark says, by its word in a session file. The first
// cream waits for words of how much; told once more, it pours all the same.
func (h *Hand) Told(word string) {
	if word != "cream-start" {
		h.pot.Told(word)
		if word == "cream-end" {
			h.pours = false
		}
		return
	}
	h.pot.on = true
	if h.pours {
		h.pot.Pour(h.pot.cfg.PortionG, handGS)
		return
	}
	*h = Hand{pot: h.pot, pours: true, nextAt: h.pot.now + handWaits}
}

// Undo takes a mark back as far as a pot can.
func (h *Hand) Undo(word string) {
	h.pot.Undo(word)
	if word == "cream-start" {
		h.pours = false
	}
}

// Heard takes a prompt by its word, with how much cream can go in by it, g.
func (h *Hand) Heard(word string, grams float64) {
	if !h.pours {
		return
	}
	switch word {
	case "add-cream":
		h.told, h.spoons = true, grams < 1
		h.g, h.at = grams, h.pot.now+handReacts
		h.nextAt = h.at
	case "hold-cream":
		h.told, h.spoons = true, true
		h.g, h.at = 0, h.pot.now+handStops
		h.nextAt = h.at + handForgets
	}
}

// Move lets the hand do what is due at the pot's time.
func (h *Hand) Move() {
	p := h.pot
	if !h.pours {
		return
	}
	if h.at > 0 && p.now >= h.at {
		p.Pour(h.g, handGS)
		h.at = 0
	}
	switch {
	case p.now < h.nextAt:
	case h.spoons:
		p.Pour(spoonG, handGS)
		h.nextAt = p.now + spoonEvery
	case !h.told:
		p.Pour(p.cfg.PortionG, handGS)
		h.nextAt = p.now + p.cfg.PortionGap
	}
	h.pours = p.jug > 0
}
