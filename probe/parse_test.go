package probe

import (
	"math"
	"testing"
)

// parsed is one line and what must come of it.
type parsed struct {
	name  string
	f     Format
	line  string
	want  Celsius
	fault Fault
}

func checkParsed(t *testing.T, rows []parsed) {
	t.Helper()
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			c, fault := row.f.Parse(row.line)
			if fault != row.fault {
				t.Fatalf("%q: fault %v (%q), want %q; read %v", row.line, uint8(fault), fault, row.fault, c)
			}
			if fault == FaultNone && math.Abs(float64(c-row.want)) > 1e-9 {
				t.Errorf("%q: %v °C, want %v", row.line, c, row.want)
			}
		})
	}
}

func TestParse_plain(t *testing.T) {
	f := Fahrenheit
	checkParsed(t, []parsed{
		{name: "bare", line: "112.4", want: 112.4},
		{name: "bare integer", line: "112", want: 112},
		{name: "bare signed", line: "+112.40", want: 112.4},
		{name: "bare negative", line: "-5.25", want: -5.25},
		{name: "bare padded", line: "   112.4  ", want: 112.4},
		{name: "bare point first", line: ".5", want: 0.5},
		{name: "bare exponent", line: "+1.12400000E+02", want: 112.4},
		{name: "bare in F", f: Format{Unit: UnitF}, line: "235.0", want: f(235)},
		{name: "bare with degree", line: "112.4°", want: 112.4},
		{name: "unit glued", line: "112.4C", want: 112.4},
		{name: "unit apart", line: "112.4 C", want: 112.4},
		{name: "unit small", line: "112.4c", want: 112.4},
		{name: "unit degree", line: "112.4 °C", want: 112.4},
		{name: "unit degree F", line: "234.5°F", want: f(234.5)},
		{name: "unit F beats the setting", f: Format{Unit: UnitC}, line: "235 F", want: f(235)},
		{name: "unit C beats the setting", f: Format{Unit: UnitF}, line: "112.4 C", want: 112.4},
		{name: "unit star", line: "112.4 *C", want: 112.4},
		{name: "unit apostrophe", line: "112.4'C", want: 112.4},
		{name: "unit deg", line: "112.4 deg C", want: 112.4},
		{name: "unit degrees", line: "112.4 degrees F", want: f(112.4)},
		{name: "unit word", line: "112.4 Celsius", want: 112.4},
		{name: "unit sign", line: "112.4 ℃", want: 112.4},
		{name: "degree in Latin-1", line: "112.4 \xb0C", want: 112.4},
		{name: "degree in a display's code page", line: "112.4\xdfC", want: 112.4},
		{name: "label", line: "T=112.4 C", want: 112.4},
		{name: "label without unit", line: "T=112.4", want: 112.4},
		{name: "label and colon", line: "Temp: 112.4", want: 112.4},
		{name: "label apart", line: "temperature 112.4", want: 112.4},
		{name: "label with unit", line: "Temp (°F): 234.5", want: f(234.5)},
		{name: "label is unit", line: "C = 112.50", want: 112.5},
		{name: "label is unit F", line: "F = 234.50", want: f(234.5)},
		{name: "label numbered", line: "T1: 112.4", want: 112.4},
		{name: "sensor numbered", line: "Sensor 1: 112.4 C", want: 112.4},
		{name: "channel by number", line: "Temperature for the device 1 (index 0) is: 112.50", want: 112.5},
		{name: "name and unit in one word", line: "tempF=234.5", want: f(234.5)},
		{name: "name and unit joined", line: "temp_c: 112.4", want: 112.4},
		{name: "numbered name", line: "Temp 1: 112.4 C", want: 112.4},
		{name: "small t with unit", line: "t=112.4 C", want: 112.4},
		{name: "pot with unit", line: "pot: 112.4 C", want: 112.4},
		{name: "time beside", line: "t=15.2 temp=112.4", want: 112.4},
		{name: "minus sign", line: "T: −5.0 °C", want: -5},
		{name: "time of day first", line: "12:34:56.789 -> 112.4 C", want: 112.4},
		{name: "date first", line: "2026-11-25T07:30:00Z T=112.4", want: 112.4},
		{name: "other quantities beside", line: "Humidity: 45.20 %  Temperature: 112.40 °C", want: 112.4},
		{name: "volts beside", line: "T=112.4 C, 3.30 V", want: 112.4},
		{name: "both units", line: "T: 112.4 C / 234.3 F", want: 112.4},
		{name: "both units, whole", line: "112 C 234 F", want: 112},
		{name: "room beside", line: "T=112.4 ambient=24.1", want: 112.4},
		{name: "CR left", line: "112.4\r", want: 112.4},
		{name: "NUL at the end", line: "112.4\x00", want: 112.4},
		{name: "coloured", line: "\x1b[1;31m112.4 C\x1b[0m", want: 112.4},
		{name: "cursor sent home", line: "\x1b[H\x1b[2KT=112.4", want: 112.4},
		{name: "decimal comma with unit", line: "112,4 C", want: 112.4},
		{name: "decimal comma with label and unit", line: "T=112,45 °C", want: 112.45},
		{name: "decimal comma said", f: Format{Comma: true}, line: "112,4", want: 112.4},
	})
}

func TestParse_chosen(t *testing.T) {
	checkParsed(t, []parsed{
		{name: "second of spaces", f: Format{Field: 2}, line: "1234 112.4 24.1", want: 112.4},
		{name: "third of CSV", f: Format{Field: 3}, line: "17,24.1,112.4,ok", want: 112.4},
		{name: "CSV quoted", f: Format{Field: 2}, line: `"a","112.4"`, want: 112.4},
		{name: "semicolons and commas", f: Format{Field: 2}, line: "21,5;112,4", want: 112.4},
		{name: "spaces and commas", f: Format{Field: 1}, line: "112,4 21,5", want: 112.4},
		{name: "tabs", f: Format{Field: 2}, line: "17\t112.4", want: 112.4},
		{name: "bars", f: Format{Field: 2}, line: "17 | 112.4 C | x", want: 112.4},
		{name: "own separator", f: Format{Field: 2, Sep: "/"}, line: "17/112.4", want: 112.4},
		{name: "label in the field", f: Format{Field: 2}, line: "H=45,T=112.4C", want: 112.4},
		{name: "blank field", f: Format{Field: 2}, line: "17,,24", fault: FaultEmpty},
		{name: "too few fields", f: Format{Field: 3}, line: "17,24", fault: FaultEmpty},
		{name: "header", f: Format{Field: 2}, line: "time,temp_c", fault: FaultEmpty},
		{name: "broken digits", f: Format{Field: 2}, line: "17,11x.4", fault: FaultGarbled},
		{name: "two points", f: Format{Field: 2}, line: "17,11.2.4", fault: FaultGarbled},
		{name: "field open", f: Format{Field: 2}, line: "17,OPEN", fault: FaultOpen},
		{name: "label chosen", f: Format{Key: "pot sensor A"}, line: "Pot sensor A: 112.4 C ok", want: 112.4},
		{name: "label among others", f: Format{Key: "T2"}, line: "T1=24.0 T2=112.4", want: 112.4},
		{name: "label behind a separator", f: Format{Key: "T2"}, line: "ready; T2=112.4", want: 112.4},
		{name: "label with number", f: Format{Key: "sensor 2"}, line: "Sensor 1: 24.0 Sensor 2: 112.4", want: 112.4},
		{name: "label and whole number", f: Format{Key: "probe"}, line: "probe 112", want: 112},
		{name: "label not there", f: Format{Key: "T2"}, line: "T1=24.0", fault: FaultEmpty},
		{name: "label not a part of another", f: Format{Key: "temp"}, line: "Set temp: 120", fault: FaultEmpty},
		{name: "label twice", f: Format{Key: "T"}, line: "T=24.0 T=112.4", fault: FaultGarbled},
		{name: "label on volts", f: Format{Key: "T"}, line: "T=1.24 V", fault: FaultGarbled},
		{name: "label open", f: Format{Key: "T2"}, line: "T1=24.0 T2=open", fault: FaultOpen},
		{name: "label with doubtful comma", f: Format{Key: "T"}, line: "T=112,4", fault: FaultGarbled},
		{name: "label with decimal comma", f: Format{Key: "T", Comma: true}, line: "T=112,4", want: 112.4},
	})
}

func TestParse_json(t *testing.T) {
	f := Fahrenheit
	checkParsed(t, []parsed{
		{name: "one key", line: `{"temp":112.4}`, want: 112.4},
		{name: "key with unit", line: `{"temp_f": 234.5, "hum": 45}`, want: f(234.5)},
		{name: "camel case", line: `{"potTempF": 234.5}`, want: f(234.5)},
		{name: "unit beside", line: `{"temperature":234.5,"unit":"°F"}`, want: f(234.5)},
		{name: "both units", line: `{"celsius":112.4,"fahrenheit":234.32}`, want: 112.4},
		{name: "time beside", line: `{"t":1700000000,"temp":112.4}`, want: 112.4},
		{name: "nested", line: `{"data":{"temp":112.4}}`, want: 112.4},
		{name: "text value", line: `{"temp":"112.4 °C"}`, want: 112.4},
		{name: "chosen", f: Format{Key: "b"}, line: `{"a":24.0,"b":112.4}`, want: 112.4},
		{name: "chosen nested", f: Format{Key: "pot.t"}, line: `{"room":{"t":24},"pot":{"t":112.4}}`, want: 112.4},
		{name: "chosen in an array", f: Format{Key: "probes.1"}, line: `{"probes":[24.0,112.4]}`, want: 112.4},
		{name: "chosen last part", f: Format{Key: "t"}, line: `{"pot":{"t":112.4}}`, want: 112.4},
		{name: "array and field", f: Format{Field: 2}, line: `[24.0,112.4]`, want: 112.4},
		{name: "last part twice", f: Format{Key: "t"}, line: `{"room":{"t":24},"pot":{"t":112.4}}`, fault: FaultGarbled},
		{name: "chosen not there", f: Format{Key: "pot"}, line: `{"room":24}`, fault: FaultEmpty},
		{name: "null", line: `{"temp":null}`, fault: FaultReported},
		{name: "nan", line: `{"temp":nan}`, fault: FaultReported},
		{name: "fault word", line: `{"temp":"open"}`, fault: FaultOpen},
		{name: "cut short", line: `{"temp":112.`, fault: FaultGarbled},
		{name: "true", f: Format{Key: "temp"}, line: `{"temp":true}`, fault: FaultGarbled},
		{name: "set-point", line: `{"setpoint":120,"temp":112.4}`, want: 112.4},
		{name: "set-point above", line: `{"setpoint":{"temp":120}}`, fault: FaultEmpty},
		{name: "two probes", line: `{"temp1":24.1,"temp2":112.4}`, fault: FaultEmpty},
		{name: "log prefix is no array", line: `[12:30:01] T=112.4`, want: 112.4},
	})
}

func TestParse_faults(t *testing.T) {
	checkParsed(t, []parsed{
		{name: "open", line: "OPEN", fault: FaultOpen},
		{name: "open circuit", line: "Error: open circuit", fault: FaultOpen},
		{name: "thermocouple open", line: "FAULT: Thermocouple is open - no connections.", fault: FaultOpen},
		{name: "label open", line: "T=open", fault: FaultOpen},
		{name: "not connected", line: "sensor not connected", fault: FaultOpen},
		{name: "no probe", line: "No probe", fault: FaultOpen},
		{name: "disconnected value", line: "-127.00", fault: FaultOpen},
		{name: "disconnected value in F", line: "-196.60 F", fault: FaultOpen},
		{name: "short", line: "short to GND", fault: FaultShort},
		{name: "short-circuited", line: "FAULT: Thermocouple is short-circuited to VCC.", fault: FaultShort},
		{name: "over", line: "OVER", fault: FaultOverRange},
		{name: "OL", line: "OL", fault: FaultOverRange},
		{name: "over range", line: "T: over-range", fault: FaultOverRange},
		{name: "inf", line: "inf", fault: FaultOverRange},
		{name: "nan", line: "nan", fault: FaultReported},
		{name: "label nan", line: "Temp = NAN", fault: FaultReported},
		{name: "err", line: "ERR", fault: FaultReported},
		{name: "err with code", line: "Error 5", fault: FaultReported},
		{name: "dashes", line: "---", fault: FaultReported},
		{name: "label dashes", line: "T: --.- C", fault: FaultReported},
		{name: "n/a", line: "T=N/A", fault: FaultReported},
		{name: "read failed", line: "Failed to read from DHT sensor!", fault: FaultReported},
		{name: "too hot", line: "1023.75", fault: FaultImpossible},
		{name: "too cold", line: "-242.02 C", fault: FaultImpossible},
		{name: "noise", line: "11\x80\x93.4", fault: FaultGarbled},
		{name: "control byte", line: "11\x032.4", fault: FaultGarbled},
		{name: "escape cut short", line: "112.4\x1b[", fault: FaultGarbled},
		{name: "letter among digits", line: "T=11x.4", fault: FaultGarbled},
		{name: "bare with two points", line: "112..4", fault: FaultEmpty},
	})
}

// Lines from which no temperature may ever be read without a choice.
func TestParse_noPhantom(t *testing.T) {
	for _, line := range []string{
		"", " ", "\r", "hello", "Thermometer v2.1", "v2.1 C", "boot 1.0", "Firmware 2.1 C build 7",
		"Calibrated at 100 C", "Setpoint 120 C", "Alarm: 118 C", "High limit=150C", "Ambient: 24.1 C", "Internal Temp = 24.06",
		"112.4 C max", "max 112.4 C", "target T=112.4", "T=112.4 target", "Set temp: 120",
		"23.1,112.4", "23.1 112.4", "1 12.4 C", "T=112.4, 7", "T=112.4,45", "T1=23.1 T2=112.4", "23.1 C 112.4 C", "112.4 C 250 F",
		"112,4", "1,234", "T=112,4", "T=112,45", "1,234.5", "112.4,7",
		"12:30", "2026-11-25", "25/11/2026", "192.168.1.1", "1.2.3", "0x70", "0b1", "112.4.1", "1e999",
		"112.4 V", "112.4 mV", "45.2 %", "45%", "112 ms", "385.5 K", "112.4 ohm", "112.4 Pa",
		"A0=112", "count 112", "id: 112", "value: 112", "line 112", "T112.4", "T-5.0", "Temp - 112.4", "T112",
		"probe 1", "sensor 2:", "probe 112", "C: 5", "port open", "open the lid", "opening", "hi", "overcast", "no error", "error: 0 V",
		"T=", "T= C", "C", "F", "°C", "+", "-", ".", "-.", "+.", "T=+", "= 112.4", "? 112.4", "# T=112.4",
		`{"hum":45}`, `[23.1,112.4]`, `{}`, `[]`, `"112.4"x`, `{"ambient_temp":24}`,
		"MAX31855 1.0", "PT100 138.5", "pot: 312", "pot = 112.4", "t=15.2", "t1: 24", "f=50.0", "c: 3.5", "Temp high: 120 C", "tempMax=120", "T_set=120", "temp 1",
		`{"t":15.2}`, `{"pot":312}`, `{"c":3.5}`, `{"tempMax":120}`, "T2..4", "T..4", "112..4", "x~p1{", "112.4 112.5 112.6", "T=112.4 T=112.5",
	} {
		if c, fault := (Format{}).Parse(line); fault == FaultNone || fault == FaultImpossible {
			t.Errorf("%q reads as %v °C, want nothing", line, c)
		}
	}
}
