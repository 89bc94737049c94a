package probe

import "strings"

// What the words beside a number say about it. A word that is in no list makes
// the number something other than the pot's temperature: a set-point, a
// firmware version, the temperature of the room.

func set(words string) map[string]bool {
	m := map[string]bool{}
	for w := range strings.FieldsSeq(words) {
		m[w] = true
	}
	return m
}

var (
	// wordsTemperature name a temperature. So do T, C and F in capitals: a small
	// t is a time as often as not, and a small f a frequency.
	wordsTemperature = set(`temp temps temperature temperatur thermocouple tc celsius centigrade fahrenheit degc degf`)

	// wordsPot name what the temperature would be of. Alone they do not say
	// that the number is one: on many boards "pot" is a potentiometer.
	wordsPot = set(`pot pan kettle syrup sugar caramel object t pv`)

	// wordsNeutral may stand beside a temperature and change nothing.
	wordsNeutral = set(`probe sensor reading value measured measurement current actual now is the of for
		in on device channel ch deg degree degrees ok good index live number data type k c f
		ds18b20 max6675 max31855 max31856 max31865 pt100 pt1000 ntc rtd thermistor`)

	// wordsOrdinal come before a whole number that only numbers something.
	wordsOrdinal = set(`probe sensor device channel ch index number no input tc thermocouple
		err error fault code`)

	// wordsQuantity come after a number that is no temperature.
	wordsQuantity = set(`v mv uv a ma w k s sec secs ms us min h hz khz mhz pa hpa kpa mbar bar psi inhg ohm ohms
		rh lux lx m mm cm ppm db dbm g kg l ml rpm baud bytes bits`)

	// wordsFault say that there is no reading, and why.
	wordsFault = map[string]Fault{
		"open": FaultOpen, "opened": FaultOpen, "disconnected": FaultOpen, "unplugged": FaultOpen, "oc": FaultOpen, "broken": FaultOpen,
		"short": FaultShort, "shorted": FaultShort, "scg": FaultShort, "scv": FaultShort,
		"over": FaultOverRange, "overrange": FaultOverRange, "overload": FaultOverRange, "overflow": FaultOverRange,
		"ol": FaultOverRange, "ovl": FaultOverRange, "ovld": FaultOverRange, "ovr": FaultOverRange, "inf": FaultOverRange, "infinity": FaultOverRange,
		"under": FaultOverRange, "underrange": FaultOverRange, "underflow": FaultOverRange,
		"nan": FaultReported, "err": FaultReported, "error": FaultReported, "fault": FaultReported, "faults": FaultReported,
		"fail": FaultReported, "failed": FaultReported, "failure": FaultReported, "wrong": FaultReported, "invalid": FaultReported,
	}

	// wordsAroundFault may stand in a line that tells of a fault.
	wordsAroundFault = set(`circuit circuited to gnd vcc ground supply not connected connection connections range
		detected something with check junction s no read from dht dht11 dht22 a or and lead wire na n`)
)

// wordKind is what one word says.
type wordKind uint8

const (
	wordUnknown wordKind = iota
	wordNeutral
	wordTemperature
)

// kindOf looks up a word as printed, with or without a number at its end as in
// "T1" or "probe2".
func kindOf(w string) wordKind {
	name := strings.TrimRight(w, "0123456789")
	if name == "T" || w == "C" || w == "F" {
		return wordTemperature
	}
	w, name = strings.ToLower(w), strings.ToLower(name)
	if len(name) == 1 && name != w && name != "t" {
		return wordUnknown // "c1" may be anything
	}
	for _, known := range []string{w, name} {
		switch {
		case wordsTemperature[known]:
			return wordTemperature
		case wordsNeutral[known], wordsPot[known]:
			return wordNeutral
		}
	}
	return wordUnknown
}

// keyWords cuts a key such as "potTemp_c" into its words.
func keyWords(key string) []string {
	var words []string
	start := 0
	flush := func(end int) {
		if end > start {
			words = append(words, key[start:end])
		}
	}
	for i := 0; i < len(key); i++ {
		c := key[i]
		switch {
		case strings.IndexByte("_-. /", c) >= 0:
			flush(i)
			start = i + 1
		case c >= 'A' && c <= 'Z' && i > start && key[i-1] >= 'a' && key[i-1] <= 'z':
			flush(i)
			start = i
		}
	}
	flush(len(key))
	return words
}
