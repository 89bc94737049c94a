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
	// wordsTemperature name a temperature, and one that may be the pot's.
	wordsTemperature = set(`t temp temperature temperatur thermocouple tc pv
		pot pan kettle syrup sugar caramel object celsius centigrade fahrenheit c f degc degf
		ds18b20 max6675 max31855 max31856 max31865 pt100 pt1000 ntc rtd thermistor`)

	// wordsNeutral may stand beside a temperature and change nothing.
	wordsNeutral = set(`probe sensor reading value measured measurement current actual now is the of for
		in on device channel ch deg degree degrees ok good index live number data type k`)

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

// kindOf looks up a lower-case word, with or without a number at its end as in
// "t1" or "probe2".
func kindOf(w string) wordKind {
	for {
		switch {
		case wordsTemperature[w]:
			return wordTemperature
		case wordsNeutral[w]:
			return wordNeutral
		}
		bare := strings.TrimRight(w, "0123456789")
		if bare == w || bare == "" || bare == "c" || bare == "f" {
			return wordUnknown
		}
		w = strings.TrimRight(bare, "_-")
	}
}

// keyWords cuts a key such as "potTemp_c" into its lower-case words.
func keyWords(key string) []string {
	var words []string
	start := 0
	flush := func(end int) {
		if end > start {
			words = append(words, strings.ToLower(key[start:end]))
		}
	}
	for i := 0; i < len(key); i++ {
		c := key[i]
		switch {
		case c == '_' || c == '-' || c == ' ' || c == '.' || c == '/':
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
