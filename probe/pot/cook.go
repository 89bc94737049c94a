package pot

import (
	"time"

	"boildown/probe"
)

// Cook is a scripted cook who decides from what can be seen and heard at a
// stove: the display, the look of the pot, the clock, and the prompts.
type Cook struct {
	Target   probe.Celsius // pulls when the display shows 1 °F more, if no prompt comes first
	LowerAt  probe.Celsius // turns the heat down when the display shows it; 0 waits for the prompt
	Reaction time.Duration // from seeing or hearing to the hand

	stage  stage
	since  time.Duration // when the stage began
	actAt  time.Duration // when the hand moves; 0 when nothing is decided
	word   string        // the mark that it will press
	looked string        // the last look that was told
	lookAt time.Duration
	heard  map[string]bool
	doneAt time.Duration
}

type stage int

const (
	beforeMelt stage = iota
	melting
	clear
	creaming
	boilingUp
	lowered
	cooling
	finished
)

// NewCook returns a cook who cooks to 235 °F, turns the heat down once when
// told to or at 228 °F, and reacts in two seconds.
func NewCook() *Cook {
	return &Cook{
		Target:   probe.Fahrenheit(235),
		LowerAt:  probe.Fahrenheit(228),
		Reaction: 2 * time.Second,
	}
}

// Hear tells the cook that a prompt began.
func (c *Cook) Hear(word string) {
	if c.heard == nil {
		c.heard = make(map[string]bool)
	}
	c.heard[word] = true
}

// Done reports whether the cook has nothing left to do.
func (c *Cook) Done() bool { return c.stage == finished }

// overshown is how far over the target a display must be, K, before the cook
// pulls without having been called: a bubble alone shows less.
const overshown = 1 / 1.8

// Watch shows the cook the pot at one moment. It returns the word of the mark
// that is pressed now, "" for none.
func (c *Cook) Watch(at time.Duration, r probe.Reading, l Look) string {
	if c.word != "" {
		if at < c.actAt {
			return ""
		}
		w := c.word
		c.word = ""
		c.enter(at, after(w, c.stage))
		return w
	}
	if w := c.decide(at, r, l); w != "" {
		c.word, c.actAt = w, at+c.Reaction
		return ""
	}
	return c.tellLook(at, l)
}

// after is the stage that follows a mark.
func after(word string, now stage) stage {
	switch word {
	case "melt-start":
		return melting
	case "crystals-gone":
		return clear
	case "cream-start":
		return creaming
	case "cream-end":
		return boilingUp
	case "heat-down":
		return lowered
	case "pull":
		return cooling
	case "dip":
		return finished
	}
	return now
}

func (c *Cook) enter(at time.Duration, s stage) {
	if s == finished && c.stage != finished {
		c.doneAt = at
	}
	if s != c.stage {
		c.stage, c.since = s, at
	}
}

// decide is the mark that the moment calls for, "" for none.
func (c *Cook) decide(at time.Duration, r probe.Reading, l Look) string {
	good := r.Fault == probe.FaultNone
	switch c.stage {
	case beforeMelt:
		if at >= 5*time.Second {
			return "melt-start"
		}
	case melting:
		if l.Dry == 0 {
			return "crystals-gone"
		}
	case clear:
		if c.heard["add-cream"] || l.Colour == "amber" || l.Colour == "dark" || l.Colour == "black" {
			return "cream-start"
		}
	case creaming:
		if l.JugG == 0 {
			return "cream-end"
		}
	case boilingUp, lowered:
		if c.heard["pull"] || good && r.C >= c.Target+overshown && at > c.since+10*time.Second {
			return "pull"
		}
		hot := c.LowerAt > 0 && good && l.Boils && r.C >= c.LowerAt
		if c.stage == boilingUp && (c.heard["lower-heat"] || hot) {
			return "heat-down"
		}
	case cooling:
		if c.heard["dip-open"] || good && r.C <= probe.Fahrenheit(215) && at > c.since+20*time.Second {
			return "dip"
		}
	}
	return ""
}

// tellLook tells how the melting sugar looks, each time it has changed and no
// more often than a cook takes a sample.
func (c *Cook) tellLook(at time.Duration, l Look) string {
	if c.stage != melting || at < c.lookAt+45*time.Second {
		return ""
	}
	c.lookAt = at
	look := "look:dry"
	switch {
	case l.Dry < 0.25:
		look = "look:colouring"
	case l.Dry < 0.8:
		look = "look:clumps"
	}
	if look == c.looked {
		return ""
	}
	c.looked = look
	return look
}
