package plateau

import (
	"math"
	"time"
)

// bend weighs, once a second from the first cream until the pot boils, two
// stories about the last minute: the pot still warms, or it boils.
//
// While a pot warms, all heat goes into its temperature, and it climbs at
// s = net power / heat capacity. In the last kelvins under its boil it simmers,
// and climbs at a share of that. From the moment that it boils nearly all heat
// goes into steam, and it climbs many times slower: see [slowing]. So a story
// is a slope, a bend at some moment, and a share of the slope after it. Each is
// weighed by what is to be expected of a pot and by how likely it makes the
// readings, with level and slope integrated out: see reach and shape. What
// comes out is the probability that the pot boils.
type bend struct {
	p      float64       // that the pot boils; 0 while the readings cannot tell
	at     time.Duration // when it most likely began to
	span   float64       // s of readings that say so
	c      float64       // °C of them
	climbs bool          // and they climb beyond doubt
	since  time.Duration // since when it has been more likely than not
	fellAt time.Duration // the last time that the pot was cooled for good
}

// What is expected before the readings are looked at. The chances are guesses;
// a few seconds of readings outweigh them.
const (
	warmSD      = 0.6      // of ln s, where the melt foretells it: it is uneven, and loses more to the room
	strangeWarm = 0.06     // °C/s, where no melt was seen
	strangeSD   = 0.9      // of its logarithm: 0.01 to 0.3 °C/s
	simmerLn    = -0.2     // ln of the share of s before a pot simmers harder
	boilsAtOnce = 0.3      // chance that a pot boils as its last cream is in
	boilsBefore = 0.1      // chance that it boiled all along, when it was not watched from its last cooling
	boilPerS    = 1.0 / 90 // chance that it comes to the boil in a second after that
	slowsPerS   = 1.0 / 60 // chance that it begins to simmer, or simmers harder
)

// A fresh syrup boils some 4 K above water, at 2 to 8 K.
const (
	freshK  = 4.0
	freshSD = 1.0 // of the logarithm of how many times slower a pot climbs then
)

// bendAges are the ages of a bend that are looked at, s. A younger one cannot
// be told from a bubble.
var bendAges = [...]float64{5, 7, 10, 13, 17, 21, 26, 32, 39, 47, 56}

// shares are the shares of s at which a pot warms: all of it far from the
// boil, and the less the harder it simmers.
var shares = [...]struct{ of, ln, chance float64 }{
	{1, 0, 0.4}, {0.65, math.Log(0.65), 0.25}, {0.4, math.Log(0.4), 0.2}, {0.25, math.Log(0.25), 0.15},
}

// slows are the shares of its slope that a pot keeps as it begins to simmer or
// simmers harder.
var slows = [...]float64{0.85, 0.7, 0.55, 0.4, 0.3}

// bendHolds is for how long a boil must be the likelier story: a spoon's first
// seconds look like one.
const bendHolds = 3 * time.Second

// boils reports whether the pot has more likely boiled than not for so long.
func (k *bend) boils(now, holds time.Duration) bool {
	return k.p > 0.5 && now-k.since >= holds
}

// feel weighs the stories as of now. While the tip is stirred nothing is seen of
// the pot, so that nothing changes: the verdict stands, and its clock with it.
func (k *bend) feel(s *State, passed time.Duration) {
	if s.cook.phase != Cream && !s.hotStart() {
		k.p = 0
		return
	}
	var r reach
	fell := k.fellAt
	g := r.gather(s, k)
	if k.fellAt != fell {
		k.since = s.at // it was no stirred tip, but more cream
	}
	switch g {
	case seen:
		k.span = r.span
		k.weigh(s, &r)
		k.c, k.climbs = r.stands(k.at)
	case dipped:
		if k.since = min(k.since+passed, s.at); s.cook.awaitsCream() {
			k.p = 0 // it may be the next portion
		}
	default:
		k.p = 0
	}
	if k.p <= 0.5 {
		k.since = s.at
	}
}

// weigh sums up the stories.
func (k *bend) weigh(s *State, r *reach) {
	w, wSD := s.water()
	ln, sd := s.warming()
	slow, boilSD := slowing(s.melt.now-w), sd
	if wSD > 1 { // where water boils is a guess, and so is how far above it the pot stands
		slow, boilSD = slowing(freshK), math.Hypot(sd, freshSD)
	}
	boil := 1 / (slow * slow)
	once := boilsBefore
	if r.rest {
		once = boilsAtOnce
	}
	var t tales
	var b shape
	b.bend(r, -1)
	t.add(b.like(r, 1, ln-2*math.Log(slow), boilSD), once, r.from)
	still := exp(-r.span * (boilPerS + slowsPerS))
	for _, a := range shares {
		t.add(b.like(r, 1, ln+a.ln, sd), (1-once)*still*a.chance, warms)
	}
	last := 0.0
	for _, age := range bendAges {
		if age > r.span-2 {
			break
		}
		b.bend(r, r.span-age)
		chance := (1 - once) * (age - last)
		for _, a := range shares {
			t.add(b.like(r, boil/a.of, ln+a.ln, sd), chance*a.chance*boilPerS, r.now-age)
		}
		for _, keeps := range slows {
			t.add(b.like(r, keeps, ln+simmerLn, sd), chance*slowsPerS/float64(len(slows)), warms)
		}
		last = age
	}
	var at float64
	k.p, at = t.verdict()
	k.at = span(at)
}

// warming returns the logarithm of how fast the pot would climb now if it did
// not boil, °C/s, and how far that may be off.
func (s *State) warming() (ln, sd float64) {
	k := s.cream
	if k.sugar == 0 || !k.seen() {
		return math.Log(strangeWarm), strangeSD
	}
	if k.most > 0 {
		k.cream, k.water = k.most, k.wet*k.most
	}
	return math.Log(k.power(s.melt.now) / (k.jk(s.melt.now) + k.baseJK())), warmSD
}

// tale is one story.
type tale struct {
	like   float64 // logarithm of how likely it makes the readings
	chance float64 // what is to be expected of it
	at     float64 // s, when the pot began to boil in it, or warms
}

// tales are the stories told so far.
type tales struct {
	n   int
	all [1 + len(shares) + len(bendAges)*(len(shares)+len(slows))]tale
}

// warms stands for the time of a boil in a story without one.
const warms = -1.0

func (t *tales) add(like, chance, at float64) {
	t.all[t.n] = tale{like, chance, at}
	t.n++
}

// verdict returns the share of the stories in which the pot boils, and when it
// began to in the likeliest of them.
func (t *tales) verdict() (p, at float64) {
	top := math.Inf(-1)
	told := t.all[:t.n]
	for i := range told {
		top = max(top, told[i].like)
	}
	var boils, all, best float64
	for i := range told {
		l := told[i].chance * exp(max(told[i].like-top, -600))
		all += l
		if told[i].at == warms {
			continue
		}
		boils += l
		if l > best {
			best, at = l, told[i].at
		}
	}
	if !(all > 0) {
		return 0, 0
	}
	return boils / all, at
}
