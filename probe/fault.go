package probe

// Fault says why a reading is not to be used. The zero value is a good reading.
type Fault uint8

// The faults. The first group is what a source can tell; the second is what
// only the readings before it can tell, and is found by the fold.
const (
	FaultNone       Fault = iota
	FaultEmpty            // the line or cell held no temperature
	FaultGarbled          // the line could not be read
	FaultOpen             // open thermocouple or broken lead
	FaultShort            // shorted thermocouple or lead
	FaultOverRange        // beyond what the sensor can measure
	FaultPowerOn          // the 85 °C a digital sensor shows before it has measured
	FaultReported         // the probe says that something is wrong, but not what
	FaultImpossible       // no pot can be this hot or this cold
	FaultGone             // the link to the probe is down
	FaultSilent           // nothing has come for 5 s

	FaultOutOfOrder // its time runs backwards
	FaultSpike      // one reading far from its neighbours
	FaultJump       // a step no pot can make
	FaultFrozen     // the same digits for longer than a live pot allows
	FaultLifted     // the probe is out of the syrup
	FaultUncovered  // the tip is not covered by syrup
	FaultUnit       // reads like °F taken for °C
	FaultBottom     // the tip touches the pot's bottom
	FaultNoise      // too noisy to trust, as near an induction hob
	faultCount
)

var faultWords = [faultCount]string{
	"", "no temperature in the line", "garbled line", "open probe circuit", "shorted probe",
	"over range", "power-on value", "probe reports an error", "impossible value", "probe gone", "silent",
	"out of order", "spike", "jump", "frozen value", "probe lifted out", "probe not covered",
	"unit mix-up", "tip on the bottom", "noise",
}

// String returns the fault in a cook's words, "" for none.
func (f Fault) String() string {
	if f >= faultCount {
		return "unknown fault"
	}
	return faultWords[f]
}

// FaultFor returns the fault whose [Fault.String] is s, and whether there is one.
func FaultFor(s string) (Fault, bool) {
	for f, w := range faultWords {
		if w == s {
			return Fault(f), true
		}
	}
	return FaultNone, false
}
