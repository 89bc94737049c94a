package plateau

import "math"

// hypothesis is one guess of where water boils on this probe's scale, with the
// line that follows from it. Under steady heat
//
//	v = z − κ·x(z),   v(t) = v₀ − k·t,   reading = tw + x(z; tw) + noise
//
// where z is moles of water per mole of solute, x the boiling point's rise over
// water's, and κ the sensible-heat term. (v differs from y = z − κT by the
// constant κ·tw.) The reading is straight in tw and curved in v, so the three
// unknowns v, k, tw are carried as a Gaussian and updated as an extended
// Kalman filter does, bent about the *predicted* reading: weights then follow
// the curve's steepness without the bias that weights from noisy readings have.
// With k and tw steady this is recursive weighted least squares.
//
// Single precision does: it is a ten-thousandth of what a reading says, and
// there are thirty of these to carry from step to step.
type hypothesis struct {
	logW        float32 // log of its share in the mixture, less that of the best
	weight      float32 // the share itself, 1 for the best and 0 for the dead
	goal        float32 // ln z at the target, for the next time it is asked for
	v, k, tw    float32 // k per second
	lnZ         float32 // solves v = z − κ·x(z)
	vv, vk, vt  float32 // covariance of (v, k, tw)
	kk, kt, tt  float32
	x, perV, dv float32 // at lnZ: x, dx/dv, dv/d(ln z)
}

// deadLogW is where a hypothesis is no longer worth its arithmetic: it weighs
// less than 1 in 160,000 of the best.
const deadLogW = -12

func (h *hypothesis) dead() bool { return h.logW < deadLogW }

// weigh works out the weight after a change of logW.
func (h *hypothesis) weigh() {
	if h.weight = 0; !h.dead() {
		h.weight = float32(exp(float64(h.logW)))
	}
}

// place finds lnZ, and the curve there, for the present v and tw.
func (h *hypothesis) place(c *boilingCurve, kappa float64) {
	for range 6 {
		z, x, perLn := c.at(float64(h.lnZ), float64(h.tw))
		miss := float64(h.v) - (z - kappa*x)
		dv := z - kappa*perLn
		perV := perLn / dv
		h.x, h.perV, h.dv = float32(x+perV*miss), float32(perV), float32(dv)
		if math.Abs(miss) < placed*(1+z) {
			return
		}
		h.move(float32(miss))
	}
}

// placed is how well v must be met, as a share of it: what is left is made good
// by the tangent and comes to less than 0.0001 K.
const placed = 3e-5

// move takes lnZ along the tangent for a change of v.
func (h *hypothesis) move(dv float32) {
	h.lnZ = clamp(h.lnZ+clamp(dv/h.dv, -1, 1), lnZMin, lnZMax)
}

// predicted returns the reading expected now.
func (h *hypothesis) predicted() float64 { return float64(h.tw) + float64(h.x) }

// advance runs the line on by dt seconds.
func (h *hypothesis) advance(dt float32, d drift, c *boilingCurve, kappa float64) {
	before := h.x
	h.v -= h.k * dt
	h.move(-h.k * dt)
	h.vv += dt * (dt*h.kk - 2*h.vk)
	h.vk -= dt * h.kk
	h.vt -= dt * h.kt
	walk := float32(d.heat) * h.k
	h.kk += walk * walk * dt
	h.place(c, kappa)
	h.tt += float32(d.shape*d.shape) * abs(h.x-before)
}

func abs(v float32) float32 { return max(v, -v) }

// observe takes an observation and returns the log of its likelihood. Of tw it
// learns the share trust only. With a trust of 0, tw is but considered
// (Schmidt's filter): its doubt goes into the others' and nothing is learned of
// it, for a pot that comes to the boil bends its line just as a wrong tw would.
func (h *hypothesis) observe(o observation, trust float32) (logL float64) {
	a := h.perV // the reading's derivatives in (v, k, tw) are (a, 0, 1)
	pv, pk, pt := h.vv*a+h.vt, h.vk*a+h.kt, h.vt*a+h.tt
	s := max(float64(pv*a+pt), 0) + o.variance
	move, shrink, logL := o.update(h.predicted(), s)
	by := float32(move / s)
	dv := pv * by
	h.v += dv
	h.move(dv) // the tangent will do until the line is placed again
	h.x += a * dv
	h.k += pk * by
	g := float32(shrink / (s * s))
	h.vv -= g * pv * pv
	h.vk -= g * pv * pk
	h.vt -= g * pv * pt
	h.kk -= g * pk * pk
	h.kt -= g * pk * pt
	h.tw += trust * pt * by
	h.tt -= trust * g * pt * pt
	h.mend()
	return logL
}

// mend keeps the covariance one. A first reading close to water's boiling point
// shrinks it a millionfold, and single precision has no more digits than that.
func (h *hypothesis) mend() {
	const least = 1e-20
	h.tt = max(h.tt, least)
	h.vv = max(h.vv, h.vt*h.vt/h.tt, least)
	h.kk = max(h.kk, h.kt*h.kt/h.tt, h.vk*h.vk/h.vv)
}

// drift is how far the model may be wrong, told as random walks that keep the
// filter from becoming surer than it has a right to.
type drift struct {
	heat  float64 // of k: relative, per √s
	shape float64 // of the curve, as a shift of tw: K per √K of rise
}

// open lets go of the heat: k becomes factor·k, give or take spread·k + floor. What is
// known of v and tw stays, so that the line is continuous through the change.
func (h *hypothesis) open(factor, spread, floor float32) {
	h.kk *= factor * factor
	h.vk *= factor
	h.kt *= factor
	sd := abs(h.k)*spread + floor + leastHeat
	h.k *= factor
	h.kk += sd * sd
}

// leastHeat is a heat, as a fall of the water ratio per second, that no hob
// setting can be told from: 400 g of sugar with 8 W.
const leastHeat = 0.01 / 60

// begin starts the line at a reading of level °C known to within sd, with the
// heat expected to be k0 ± k0SD. It reports whether a syrup boils there.
func (h *hypothesis) begin(level, sd, k0, k0SD float64, c *boilingCurve, kappa float64) bool {
	tw := float64(h.tw)
	rise := level - tw
	if h.dead() || rise < leastRise {
		h.logW = float32(math.Inf(-1))
		return false
	}
	lnZ := c.lnRatio(rise, tw)
	z, x, perLn := c.at(lnZ, tw)
	h.lnZ, h.v = float32(lnZ), float32(z-kappa*x)
	h.place(c, kappa)
	h.k = float32(k0)
	perX, spread := 1/h.perV, float32(sd*sd)
	h.vv, h.vt = perX*perX*(spread+h.tt), -perX*h.tt
	h.kk, h.vk, h.kt = float32(k0SD*k0SD), 0, 0
	// How likely such a syrup is at all, as a density in the reading's scale.
	off := (lnZ - usualLnZ) / usualLnZSD
	h.logW -= float32(off*off/2 + log(-perLn))
	return true
}

// A pot that begins to boil holds about 7 mol of water to a mol of solute:
// cream of 0.6–1.6 times the sugar gives 6–17, less what flashed off while it
// went in; a line picked up on the climb begins at 4. The spread covers both.
const (
	usualLnZ   = 1.95
	usualLnZSD = 0.7
	leastRise  = 0.4 // K; closer to water's boiling point there is no syrup to speak of
)
