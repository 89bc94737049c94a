package scpi

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"
	"time"
)

// Options sets what a person wrote behind an address, as in
// "query=MEAS:TEMP? TC,K&unit=C".
//
//	query  what asks for the temperature
//	setup  a command sent first; may be repeated
//	field  of an answer with commas, from 1
//	unit   C, F or K, for instruments that do not tell
//	every  time from one question to the next, such as 500ms
func (s *Settings) Options(q url.Values) error {
	for key, values := range q {
		v := values[len(values)-1]
		var err error
		switch key {
		case "query":
			s.Query = v
		case "setup":
			s.Setup = append(s.Setup, values...)
		case "field":
			s.Field, err = strconv.Atoi(v)
			if err == nil && s.Field < 1 {
				err = fmt.Errorf("fields count from 1")
			}
		case "unit":
			u, ok := unitFor(v)
			if s.Unit = u; !ok {
				err = fmt.Errorf("the unit is C, F or K")
			}
		case "every":
			s.Every, err = time.ParseDuration(v)
			if err == nil && (s.Every < 50*time.Millisecond || s.Every > 5*time.Second) {
				err = fmt.Errorf("the time between readings is 50ms to 5s")
			}
		default:
			return fmt.Errorf("scpi: there is no option %q: it is query, setup, field, unit or every", key)
		}
		if err != nil {
			return fmt.Errorf("scpi: option %s=%s: %w", key, strings.TrimSpace(v), err)
		}
	}
	return nil
}
