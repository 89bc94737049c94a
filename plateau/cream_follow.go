package plateau

import (
	"math"
	"time"

	"boildown/syrup"
)

// The account of a creaming is carried on by what must happen in the next
// second and put right by what the probe then shows: an extended Kalman filter
// over these figures of [creaming]. All that the probe ever shows is its own
// tip; the cream, its flow and warmth, and the hob's power follow from how that
// moves. Between two portions no cream goes in, and the pot's recovery tells
// the power.
const (
	ofPot = iota
	ofCream
	ofFlow
	ofWatts
	ofWarm
	ofTip
	ofAll
)

// spread is the covariance of the account's errors.
type spread [ofAll][ofAll]float32

// How far things may be off before the first cream, as standard deviations.
const (
	unsurePot   = 1.0  // K
	unsureTip   = 0.5  // K
	unsureCream = 2.0  // g
	unsurePower = 0.40 // share of it
	toldWarm    = 3.0  // K, of cream whose warmth was told
	unsureWarm  = 25.0 // K, of cream of which nothing was told
	unsureFlow  = 8.0  // g/s, as a portion begins
	unsureGrams = 0.15 // share of a portion that a cook pours too much or too little
)

// How they stray in a second, likewise.
const (
	strayPot  = 0.04 // K
	strayMix  = 0.10 // share of what the cream cools
	strayPour = 3.0  // g/s
	strayIdle = 0.5  // g/s, while nobody is to pour
	idleKeeps = 0.3  // share of a flow that is taken to go on then
	strayHob  = 0.01 // share of the power
)

const (
	likelyJug  = 8.0  // g/s
	mostFlow   = 40.0 // g/s
	leastFlow  = 1.5  // g/s; under it nothing is seen to go in
	leastWatts = 200.0
	mostWatts  = 3000.0
	leastLag   = 0.3  // s: no tip shows the pot at once
	leastNoise = 0.06 // K
	unboils    = 1.0  // K that a boiling pot may be found cooler by and still boil
	overPlan   = 1.1  // times what the recipe has, that may be in by the account
	longestGap = 60.0 // s of silence that are made good
)

// unsure sets the spread before the first cream.
func (k *creaming) unsure(s *State) {
	late := s.cfg.Lag.Seconds() * max(s.melt.slope, 0)
	k.tip = k.top - late
	if s.clean.has {
		k.tip = s.clean.last
	}
	warm := unsureWarm
	if s.cfg.Batch.CreamC > 0 {
		warm = toldWarm
	}
	k.spread = spread{}
	for i, sd := range [ofAll]float64{unsurePot + 0.2*late, unsureCream, 0, unsurePower * k.watts, warm, unsureTip} {
		k.spread[i][i] = float32(sd * sd)
	}
}

// sd is the standard deviation of one of the account's figures.
func (k *creaming) sd(i int) float64 { return math.Sqrt(max(float64(k.spread[i][i]), 0)) }

// feel takes in the reading just used, once a second.
func (k *creaming) feel(s *State) {
	dt := (s.at - k.lastAt).Seconds()
	if s.cook.phase != Cream || k.sugar == 0 || dt < 0.95 {
		return // an account that nothing opened says nothing
	}
	k.lastAt = s.at
	for dt = min(dt, longestGap); dt > 1.5; dt-- {
		k.predict(s, 1)
	}
	k.predict(s, dt)
	rough := math.Hypot(max(min(s.clean.noise, 1.5), leastNoise), 0.3*s.clean.step)
	if k.returns(s) {
		k.judge(s)
		return
	}
	k.learn(s, ofTip, s.clean.last-k.tip, rough)
	k.offer.feel(s.at, k.flow)
	k.judge(s)
}

// returns reports whether the tip leaps back into the pot, faster than any hob
// warms it. Then the fall before it was none of the pot's, and the cream that it
// was taken for never went in: what was offered last did.
func (k *creaming) returns(s *State) bool {
	t := s.recent.line(s.at, 4)
	hob := k.power(k.c) / (k.jk(k.c) + k.baseJK())
	if !t.ok || t.slope < max(leapSlope, 4*hob) || s.clean.last < k.tip {
		return false
	}
	in := k.offer.from
	if !k.offer.open || k.offer.flow > leastFlow {
		in += k.offer.g
	}
	k.cream = min(k.cream, in)
	k.c = clamp(s.clean.last+t.slope*s.cfg.Lag.Seconds(), k.c, max(k.boils, k.c))
	k.tip, k.base, k.under = s.clean.last, 0, 0
	k.water = min(k.wet*k.cream, s.waterAt(k.c, k.dissolved()))
	k.stray(ofPot, unsureLatePot, 1)
	k.stray(ofCream, unsureGrams*k.offer.g, 1)
	return true
}

// predict carries the account on by dt seconds.
func (k *creaming) predict(s *State, dt float64) {
	poured := k.pouring(dt)
	jk, cools := k.heats(s), k.cools(s)
	before := k.c
	k.run(s, poured, dt)
	blur := 1 - exp(-dt/max(s.cfg.Lag.Seconds(), leastLag))
	k.tip += ((before+k.c)/2 - k.tip) * blur

	keeps, stray := 1.0, strayPour
	if !k.due(s) {
		keeps, stray = idleKeeps, strayIdle
	}
	k.flow *= keeps

	var f matrix // how the end of this time hangs on its beginning
	for i := range f {
		f[i][i] = 1
	}
	f[ofFlow][ofFlow] = keeps
	f[ofCream][ofFlow] = dt
	f[ofPot][ofFlow] = -cools * dt
	f[ofPot][ofWatts] = dt / jk
	f[ofPot][ofWarm] = poured * k.cp / jk
	for i := range f {
		f[ofTip][i] = f[ofPot][i] * blur / 2
	}
	f[ofTip][ofPot], f[ofTip][ofTip] = blur, 1-blur
	k.spread = f.carry(&k.spread)
	k.stray(ofPot, math.Hypot(strayPot, strayMix*cools*poured), dt)
	k.stray(ofFlow, stray, dt)
	k.stray(ofWatts, strayHob*k.watts, dt)
}

type matrix [ofAll][ofAll]float64

// carry returns f·p·fᵀ. Most of f is nothing.
func (f *matrix) carry(p *spread) (q spread) {
	var half, whole matrix
	for i := range ofAll {
		for l, v := range f[i] {
			if v == 0 {
				continue
			}
			for j := range ofAll {
				half[i][j] += v * float64(p[l][j])
			}
		}
	}
	for j := range ofAll {
		for l, v := range f[j] {
			if v == 0 {
				continue
			}
			for i := j; i < ofAll; i++ {
				whole[i][j] += half[i][l] * v
			}
		}
	}
	for i := range ofAll {
		for j := range i + 1 {
			v := float32(whole[i][j])
			q[i][j], q[j][i] = v, v
		}
	}
	return q
}

// stray widens the spread of one figure by sd in a second.
func (k *creaming) stray(i int, sd, dt float64) { k.spread[i][i] += float32(sd * sd * dt) }

// learn puts the account right by one of its figures, seen to be off by so
// much, give or take sd.
func (k *creaming) learn(s *State, seen int, off, sd float64) {
	p := &k.spread
	was := p[seen]
	all := float64(was[seen]) + sd*sd
	var gain [ofAll]float64
	for i := range gain {
		gain[i] = float64(was[i]) / all
	}
	for i := range ofAll {
		for j := range ofAll {
			p[i][j] -= float32(gain[i]) * was[j]
		}
	}
	for i := range ofAll { // rounding must not make it negative, nor a wild pot infinite
		p[i][i] = float32(clamp(float64(p[i][i]), 1e-6, 1e6))
	}
	k.tip += gain[ofTip] * off
	k.flow = clamp(k.flow+gain[ofFlow]*off, 0, mostFlow)
	k.watts = clamp(k.watts+gain[ofWatts]*off, leastWatts, mostWatts)
	k.warm = clamp(k.warm+gain[ofWarm]*off, 0, 98)
	k.settle(s, gain[ofPot]*off, gain[ofCream]*off)
}

// settle moves the account to a pot that is dc K hotter and holds g grams of
// cream more than it was thought to.
func (k *creaming) settle(s *State, dc, g float64) {
	boiled := k.water > 0.995*s.waterAt(k.c, k.dissolved())
	k.c = clamp(k.c+dc, 0, 300)
	most := 1e6
	if k.most > 0 {
		most = overPlan*k.most + 15 // a scale is rough, and so is this account
	}
	g = clamp(k.cream+g, 0, most) - k.cream
	k.cream += g
	k.water += k.wet * g
	full := s.waterAt(k.c, k.dissolved()) // more would have boiled off
	if boiled && dc > -unboils {
		k.water = full // as much as that has
	}
	k.water = clamp(k.water, 0, min(full, k.wet*k.cream))
}

// pouring is how much goes in within the next dt seconds: as it flows, but no
// more than was offered, unless more is seen to go in.
func (k *creaming) pouring(dt float64) float64 {
	left := k.offer.from + k.offer.g - k.cream
	if left < -k.offer.overrun() || k.offer.all {
		return k.flow * dt
	}
	return clamp(left, 0, k.flow*dt)
}

// due reports whether cream is to go in now.
func (k *creaming) due(s *State) bool {
	o := &k.offer
	return o.open && (o.all || k.cream < o.from+o.g || s.at-o.at < 3*time.Second)
}

// cools is how much colder a gram of cream makes the pot now, K/g.
func (k *creaming) cools(s *State) float64 {
	const g = 3
	next := *k
	next.run(s, g, 1e-3)
	return max(k.c-next.c, 0) / g
}

// heats is the heat that it takes to warm the pot by 1 K, with what boils off
// meanwhile where it boils.
func (k *creaming) heats(s *State) float64 {
	jk := k.jk(k.c)
	if moles := k.dissolved(); k.water > 0.99*s.waterAt(k.c, moles) {
		jk += syrup.LatentHeat(min(k.c, 150)) * max(s.waterAt(k.c-0.5, moles)-s.waterAt(k.c+0.5, moles), 0)
	}
	return jk
}
