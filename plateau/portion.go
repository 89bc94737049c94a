package plateau

import (
	"math"
	"time"

	"boildown/syrup"
)

// portion is the cream that the cook has been told can go in: poured at any
// speed, it leaves the pot above the floor. The next is offered when the
// readings have shown what this one did.
type portion struct {
	open  bool
	g     float64       // what can go in, g
	from  float64       // g in the pot by the account when it was offered
	at    time.Duration // when
	seen  float64       // g in the pot by the account when it last grew
	still time.Duration // when that was
	past  [16]float32   // °C of the pot in the last seconds, by the second
	ins   [16]float32   // g in the pot then
}

// leastPortion is not worth stopping for less, g.
const leastPortion = 8.0

// worthIt is the share of all the cream under which a portion waits until the
// pot boils again: a jug that is stopped every few seconds is soon not stopped.
const worthIt = 0.04

// planned is all of the cream, g, a guess where no recipe says.
func (k *creaming) planned() float64 {
	if k.most > 0 {
		return k.most
	}
	return 1.2 * k.sugar
}

// portionMargin is how far above the floor a portion must leave the pot, K:
// spoons are rough, and so are the melt's weight and the probe.
const portionMargin = 1.2

// offerMargin is how far above the floor the pot must stand for the next, K.
const offerMargin = 2.8

// How fast a jug is taken to pour, g/s.
const (
	quickJug = 25.0
	slowJug  = 4.0
)

// ago is what a ring held at a second.
func (o *portion) ago(ring *[16]float32, second int) float64 {
	return float64(ring[max(second, 0)%len(ring)])
}

// flow is how fast cream has gone in of late, g/s.
func (k *creaming) flow(s *State) float64 {
	const over = 3 // s
	if s.at-k.at < (over+1)*time.Second {
		return 0
	}
	return max(k.cream-k.offer.ago(&k.offer.ins, s.second()-over), 0) / over
}

// gone is how much of the portion is in the pot by the account, g.
func (k *creaming) gone() float64 { return max(k.cream-k.offer.from, 0) }

// pace offers portions while the cream goes in, and says to wait between them.
func (s *State) pace(a *Advice, in bool) {
	k := &s.cream
	o := &k.offer
	if !in {
		o.open = false
		s.alerts.clear(HoldCream)
		if s.cook.phase != Melt {
			s.alerts.clear(AddCream)
		}
		return
	}
	s.settle()
	switch {
	case !o.open && !s.alerts.standing.Has(HoldCream) && k.ahead >= holdMargin:
		s.offerCream(a)
	case o.open:
		s.closeOffer(a)
	case s.settledFor() > 2 && (k.margin > offerMargin || s.boilsInCream()):
		s.offerCream(a)
	}
	heading := k.ahead
	if o.open && s.at-o.at < span(o.g/quickJug) {
		heading = k.margin // no jug has poured the portion yet
	}
	if heading < holdMargin && !s.alerts.standing.Has(HoldCream) {
		s.holdCream(a)
	}
}

// settle notes when cream was last seen to go in.
func (s *State) settle() {
	k := &s.cream
	o := &k.offer
	o.past[s.second()%len(o.past)] = float32(s.melt.now)
	o.ins[s.second()%len(o.ins)] = float32(k.cream)
	o.from, o.seen = min(o.from, k.cream), min(o.seen, k.cream)
	if k.cream > o.seen+max(3, 0.01*k.most) {
		o.seen, o.still = k.cream, s.at
	}
}

func (s *State) second() int { return int(s.at / time.Second) }

// settledFor is how many seconds no cream has been seen to go in.
func (s *State) settledFor() float64 {
	return (s.at - max(s.cream.offer.still, s.alerts.since[HoldCream])).Seconds()
}

// closeOffer ends a portion that is in, or as good as in.
func (s *State) closeOffer(a *Advice) {
	k := &s.cream
	o := &k.offer
	gone := k.gone()
	lag := s.cfg.Lag.Seconds()
	switch old := s.at - o.at; {
	case gone >= 1.3*o.g && old > span(o.g/quickJug):
		s.holdCream(a)
	case gone > 0.6*o.g && s.keepsUp(o.g-gone):
		unseen := o.g - gone // all of it may be in already
		s.offerCream(a)
		o.g -= unseen
	case gone > 0.15*o.g && s.settledFor() > 3+lag/2, // warmer cream than reckoned with, or less of it
		old > span(o.g/slowJug+12+lag): // it is in by now, or can go in all the same
		s.offerCream(a)
	}
}

// keepsUp reports whether the hob keeps up with a slow jug, so that it need
// not stop: so much can go in that what is still unseen is little of it.
func (s *State) keepsUp(unseen float64) bool {
	k := &s.cream
	if k.ahead <= holdMargin {
		return false
	}
	most := s.largest()
	return k.flow(s)*(s.cfg.Lag.Seconds()+4) < most/2 && most > 2*unseen+leastPortion
}

func (s *State) holdCream(a *Advice) {
	s.cream.offer.open = false
	s.alerts.clear(AddCream)
	s.raise(a, HoldCream)
}

// offerCream tells the cook how much can go in now.
func (s *State) offerCream(a *Advice) {
	g := s.largest()
	if s.cream.atBoil { // a pot at its boil holds some five degrees of cream, whatever the account says
		g = max(g, leastPortion)
	}
	if g < max(leastPortion, worthIt*s.cream.planned()) && !s.cream.atBoil || g < leastPortion {
		if s.cream.offer.open {
			s.holdCream(a)
		}
		return
	}
	s.alerts.clear(HoldCream)
	s.alerts.clear(AddCream)
	s.cream.offer = portion{open: true, g: g, from: s.cream.cream, at: s.at, seen: s.cream.cream, still: s.at}
	s.raise(a, AddCream)
}

// boilsInCream reports whether the pot stands still although the hob heats it:
// then it boils, wherever the account thinks that it should, and the account
// is put right.
func (s *State) boilsInCream() bool {
	k := &s.cream
	c := s.melt.now
	rise := k.power(c) / k.jk(c) // K/s, of a pot that does not boil
	w := int(clamp(math.Ceil(1.5/rise), 3, 12))
	k.atBoil = false
	if s.settledFor() < float64(w)+1 {
		return false
	}
	if got := c - k.offer.ago(&k.offer.past, s.second()-w); math.Abs(got) > 0.35*rise*float64(w) && s.settledFor() < 30 {
		return false
	}
	full := s.waterAt(s.melt.now, k.moles+k.cream*k.solid)
	if most := k.wet * (1.25*k.cream + 40); full > most || k.most > 0 && full > k.wet*k.most {
		return false // it would hold more water than there is
	}
	k.water = full
	k.cream = max(k.cream, k.water/k.wet)
	k.margin, k.boils = k.over(s, s.melt.now, k.cream, k.water)
	k.atBoil = true
	return true
}

// largest returns the most grams of cream that can go in now without the pot
// dropping to the floor, however quickly they are poured.
func (s *State) largest() float64 {
	k, c := s.cream, s.melt.now
	most := k.planned()
	g, dg := 0.0, most/32
	for g < most && dg > 1 {
		next := k
		c2 := s.pour(&next, c, dg)
		if m, _ := next.over(s, c2, next.cream, next.water); m < portionMargin {
			dg /= 2 // a smaller last spoon may still go in
			continue
		}
		k, c, g = next, c2, g+dg
	}
	return min(g, most)
}

// after returns how far above the floor the pot would stand with g more grams
// of cream poured in quickly.
func (s *State) after(g float64) (margin float64) {
	k, c := s.cream, s.melt.now
	if g < 1 {
		return k.margin
	}
	const steps = 6
	for range steps {
		c = s.pour(&k, c, g/steps)
	}
	margin, _ = k.over(s, c, k.cream, k.water)
	return margin
}

// pour puts g grams of cream into an account whose pot stands at c, and
// returns where it then stands.
func (s *State) pour(k *creaming, c, g float64) float64 {
	jk := k.jk(c)
	c = (jk*c + g*k.cp*k.warm + k.power(c)*g/quickJug) / (jk + g*k.cp)
	k.cream += g
	k.water += k.wet * g
	c, k.water = s.steamOff(k, c)
	return c
}

// steamOff lets a pot at c boil down to its boiling point and returns where it
// then stands and the water left in it.
func (s *State) steamOff(k *creaming, c float64) (boils, water float64) {
	moles := k.moles + k.cream*k.solid
	if k.water < s.waterAt(c, moles) {
		return c, k.water
	}
	lo, hi := c-80, c
	jk := k.jk(c)
	for range 18 {
		mid := (lo + hi) / 2
		full := s.waterAt(mid, moles)
		if full >= k.water || jk*(c-mid) >= syrup.LatentHeat(min(mid, 150))*(k.water-full) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi, min(k.water, s.waterAt(hi, moles))
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
