package plateau

import (
	"math"
	"time"
)

// portion is the cream that the cook has been told can go in: poured at any
// speed, it leaves the pot above the floor. The next is offered when the pot
// bears one that is worth lifting the jug for.
type portion struct {
	open   bool
	all    bool          // by the account all of it is in: nothing is offered, the cook is asked
	g      float64       // what can go in, g
	from   float64       // g in the pot when it was offered
	at     time.Duration // when
	flow   float64       // g/s, the fastest seen of it
	low    float64       // K above the floor, the lowest seen of it
	was    float64       // °C at which the pot boiled when it was offered
	flowed time.Duration // when cream was last seen to go in
}

// Cream pacing. A cook acts on a prompt in a second or two and cannot follow
// one every second.
const (
	leastPortion  = 8.0     // g; not worth stopping for less
	foams         = 1.0 / 3 // share of all the cream that goes in at once, at most: the pot foams up however hot it is
	worthIt       = 0.03    // share of all the cream that is always worth it
	portionMargin = 0.6     // K above the floor, at least, that a portion leaves: spoons are rough
	portionSure   = 0.7     // standard deviations that the pot is taken to be colder
	offerMargin   = 2.6     // K above the floor, where a small portion goes in as well
	holdMargin    = 0.5     // K above the floor
	holdAhead     = 1.5     // s from the prompt to the jug held still
	surelyUnder   = 6       // looks under the floor, or two far under it
	goOnMargin    = 4.0     // K, where the sugar no longer seizes
	quickJug      = 25.0    // g/s
	slowJug       = 4.0     // g/s

	paced       = 4 * time.Second // from one prompt to the next that is no warning
	late        = 4 * time.Second // that a cook is, and puts the jug down
	stopped     = 3 * time.Second // without a flow: the jug has been put down
	longHold    = 20 * time.Second
	longestWait = 2 * time.Minute // that is told as a wait
)

// feel takes in how much cream is seen to flow.
func (o *portion) feel(at time.Duration, flow float64) {
	if !o.open {
		return
	}
	if o.flow = max(o.flow, flow); flow > leastFlow {
		o.flowed = at
	}
}

// overrun is how much over the portion is surely too much, g.
func (o *portion) overrun() float64 { return 4 + 0.25*o.g }

// watchCream raises what belongs to the creaming.
func (s *State) watchCream(a *Advice) {
	k := &s.cream
	in := s.cook.phase == Cream && k.ok
	s.pace(a, in && !s.cook.ended)
	s.hold(a, Seize, in && k.under >= surelyUnder, s.cook.phase != Cream && !s.plunge.on || in && k.margin > goOnMargin)
	s.foam(a)
}

// foam raises the caution against steam and foam as the first cream goes in
// and again as the whole pot comes to the boil.
func (s *State) foam(a *Advice) {
	if s.alerts.standing.Has(BoilOver) && s.at-s.alerts.since[BoilOver] > 20*time.Second {
		s.alerts.clear(BoilOver)
	}
	if s.alerts.foam {
		s.alerts.foam = false
		s.raise(a, BoilOver)
	}
}

// judge works out, after a look at the pot, what the prompts go by.
func (k *creaming) judge(s *State) {
	k.weigh(s)
	k.ahead = min(s.after(k.flow*holdAhead), k.margin)
	switch {
	case k.margin >= -min(k.sd(ofPot), 1):
		k.under = 0
	case k.margin < -stirDeep: // no spoon stirs the tip so cool
		k.under += surelyUnder / 2
	default:
		k.under++
	}
	k.offer.low = min(k.offer.low, k.margin)
	k.room = s.largest(k.worth())
	k.ok = k.seen()
}

// pace offers portions while the cream goes in, and says to wait between them.
func (s *State) pace(a *Advice, in bool) {
	k := &s.cream
	o := &k.offer
	holds := s.alerts.standing.Has(HoldCream)
	switch {
	case !in:
		o.open = false
		s.alerts.clear(HoldCream)
		if s.cook.phase != Melt {
			s.alerts.clear(AddCream)
		}
	case !o.open && !holds && k.bears():
		s.offerCream(a)
	case !o.open && !holds, o.open && s.spilt():
		s.holdCream(a)
	case o.open && o.all:
		if k.rest() > 2*k.worth() {
			s.offerCream(a) // it was not all, after all
		}
	case o.open && s.isIn():
		s.poured()
		if k.room >= k.worth() && s.at-o.at >= paced {
			s.offerCream(a)
		} else {
			s.holdCream(a)
		}
	case holds && s.at-s.alerts.since[HoldCream] >= paced && (k.bears() || s.standsStill()):
		s.offerCream(a)
	}
}

// worth is a portion that is worth lifting the jug for, g.
func (k *creaming) worth() float64 { return max(leastPortion, worthIt*k.planned()) }

// bears reports whether the next portion can go in.
func (k *creaming) bears() bool { return k.room >= k.worth() || k.margin >= offerMargin }

// gone is how much of the portion is in the pot, g.
func (k *creaming) gone() float64 { return max(k.cream-k.offer.from, 0) }

// spilt reports whether the portion must be stopped.
func (s *State) spilt() bool {
	k := &s.cream
	o := &k.offer
	if s.at-o.at < span(o.g/quickJug) {
		return false // no jug has poured the portion yet
	}
	return k.ahead < holdMargin || k.gone() > o.g+o.overrun() && !o.all
}

// isIn reports whether the portion is in the pot, or as good as in: cream has
// stopped going in, or has had the time.
func (s *State) isIn() bool {
	k := &s.cream
	o := &k.offer
	old, gone := s.at-o.at, k.gone()
	switch {
	case old < span(o.g/quickJug):
		return false
	case gone >= o.g-max(1, 0.5*k.flow):
		return true
	}
	if s.cfg.Batch.CreamC == 0 && gone > 0.4*o.g && old > span(o.g/max(slowJug, 0.8*k.jug))+late {
		return true // of cream as warm as the pot is little to be seen: go by this cook's pace
	}
	return gone > 0.4*o.g && s.at-o.flowed > stopped || old > span(o.g/slowJug+8)+s.cfg.Lag
}

// poured takes a portion for poured as it was told: who is told how much pours
// about that. It is what tells warm cream from little of it.
func (s *State) poured() {
	k := &s.cream
	o := &k.offer
	if o.flow > 0 {
		k.jug += (o.flow - k.jug) / 2
	}
	if k.gone() < o.g+o.overrun() {
		k.learn(s, ofCream, o.from+o.g-k.cream, unsureCream+unsureGrams*o.g)
		k.judge(s)
	}
}

// holdCream tells the cook to wait.
func (s *State) holdCream(a *Advice) {
	s.cream.offer.open = false
	s.alerts.clear(AddCream)
	s.raise(a, HoldCream)
}

// offerCream tells the cook how much can go in now.
func (s *State) offerCream(a *Advice) {
	k := &s.cream
	s.alerts.clear(HoldCream)
	s.alerts.clear(AddCream)
	k.offer = portion{open: true, all: k.rest() < leastPortion, g: s.portion(), from: k.cream, at: s.at, flowed: s.at, low: k.margin, was: k.boils}
	if k.flow = k.jug; k.offer.all {
		k.flow = 0
	}
	for i := range ofAll {
		k.spread[i][ofFlow], k.spread[ofFlow][i] = 0, 0
	}
	k.spread[ofFlow][ofFlow] = unsureFlow * unsureFlow
	s.raise(a, AddCream)
}

// rest is how much of the recipe's cream is still to come by the account, g;
// without end where no recipe says.
func (k *creaming) rest() float64 {
	if k.most == 0 {
		return math.Inf(1)
	}
	return max(k.most-k.cream, 0)
}

// portion is the cream that is offered now, g: no more than there is, and
// nothing where all is in.
func (s *State) portion() float64 {
	k := &s.cream
	rest := k.rest()
	if rest < leastPortion {
		return 0
	}
	most := min(foams*k.planned(), rest)
	return max(min(max(s.largest(most), k.bolder(s)), most), leastPortion)
}

// bolder is a portion that goes by the last one, g, where nobody said how warm
// the cream is and it is taken to be cold: the pot that hardly noticed the last
// bears half as much again. 0 says nothing.
func (k *creaming) bolder(s *State) float64 {
	o := &k.offer
	w, _ := s.water()
	if s.cfg.Batch.CreamC > 0 || o.was > w+sureBoilK || o.flow < leastFlow || o.low < floorUnder-1 || s.at-o.at > longestWait {
		return 0
	}
	return 1.5 * o.g
}

// standsStill reports whether the pot has long stood still although the hob
// heats it: then it boils, wherever the account thinks that it should, and the
// account is put right.
func (s *State) standsStill() bool {
	k := &s.cream
	if s.at-s.alerts.since[HoldCream] < longHold {
		return false
	}
	t := s.recent.line(s.at, 12)
	if rise := k.power(k.c) / (k.jk(k.c) + k.baseJK()); !t.ok || math.Abs(t.slope) > 0.3*rise {
		return false
	}
	full := s.waterAt(k.c, k.dissolved())
	if full > k.wet*k.planned() {
		return false // it would hold more water than there is
	}
	k.water = full
	k.cream = max(k.cream, k.water/k.wet)
	k.judge(s)
	return true
}

// largest returns the most grams of cream that can go in now without the pot
// dropping to the floor, however quickly they are poured; enough or more where
// that much can.
func (s *State) largest(enough float64) float64 {
	k := s.cream
	k.c -= min(portionSure*k.sd(ofPot), 2)
	k.warm = max(k.warm-k.sd(ofWarm), min(k.warm, 5))
	most := k.planned()
	g, dg := 0.0, most/32
	for g < min(most, enough) && dg > 1 {
		next := k
		next.run(s, dg, dg/quickJug)
		if !next.clears(s, portionMargin) {
			dg /= 2 // a smaller last spoon may still go in
			continue
		}
		k, g = next, g+dg
	}
	return min(g, most)
}

// after returns how far above the floor the pot would stand with g more grams
// of cream poured in quickly.
func (s *State) after(g float64) (margin float64) {
	k := s.cream
	if g < 1 {
		return k.margin
	}
	const steps = 3
	for range steps {
		k.run(s, g/steps, g/steps/quickJug)
	}
	k.weigh(s)
	return k.margin
}

// creamNow returns how much cream can go in now: what is left of the portion
// on offer, and nothing while the cook is to wait.
func (s *State) creamNow() (g float64, ok bool) {
	k := &s.cream
	switch {
	case s.cook.phase == Melt && s.alerts.standing.Has(AddCream):
		return within(k.offer.g, 0, 5000, 0), true
	case s.cook.phase != Cream || !k.ok || s.cook.ended:
		return 0, false
	case !k.offer.open:
		return 0, true
	}
	return within(k.offer.g-k.gone(), 0, 5000, 0), true
}

// creamWait returns how long the cook is to wait for the next portion: until
// the hob has made good what the last one took.
func (s *State) creamWait() time.Duration {
	k := &s.cream
	if s.cook.phase != Cream || !s.alerts.standing.Has(HoldCream) || !k.ok {
		return 0
	}
	wait := paced - (s.at - s.alerts.since[HoldCream])
	if !k.bears() {
		rate := (k.power(k.c) + k.base/baseS) / max(k.heats(s), 1)
		wait = max(wait, span((offerMargin-k.margin)/max(rate, 1e-3))-(s.at-k.lastAt))
	}
	return min(max(wait, time.Second), longestWait)
}
