package scpi

import (
	"net/url"
	"slices"
	"testing"
	"time"
)

func TestOptions(t *testing.T) {
	u, err := url.Parse("scpi://bench:5025?query=MEAS:TEMP? TC,K&setup=*RST&setup=CONF:TEMP&field=2&unit=K&every=1s")
	if err != nil {
		t.Fatal(err)
	}
	var s Settings
	if err := s.Options(u.Query()); err != nil {
		t.Fatal(err)
	}
	if s.Query != "MEAS:TEMP? TC,K" || !slices.Equal(s.Setup, []string{"*RST", "CONF:TEMP"}) || s.Field != 2 || s.Unit != UnitK || s.Every != time.Second {
		t.Errorf("%+v", s)
	}
	for _, bad := range []string{"field=0", "field=x", "unit=R", "every=1h", "ask=x"} {
		q, _ := url.ParseQuery(bad)
		if err := new(Settings).Options(q); err == nil {
			t.Errorf("%q is accepted", bad)
		}
	}
}
