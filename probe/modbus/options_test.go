package modbus

import (
	"net/url"
	"testing"
	"time"

	"boildown/probe"
)

func TestOptions(t *testing.T) {
	q, err := url.ParseQuery("address=7&register=40108&type=float32&order=cdab&scale=0.1&unit=f&every=250ms")
	if err != nil {
		t.Fatal(err)
	}
	var s Settings
	if err := s.Options(q); err != nil {
		t.Fatal(err)
	}
	if s.Address != 7 || s.Function != 3 || s.Register != 107 || s.Type != Float32 || s.Order != CDAB || s.Scale != 0.1 || s.Unit != probe.UnitF || s.Every != 250*time.Millisecond {
		t.Errorf("%+v", s)
	}
	for _, bad := range []string{
		"", "unit=F", "register=1", "register=30001&address=300", "register=30001&type=int8", "register=30001&order=AB",
		"register=30001&scale=0", "register=30001&scale=NaN", "register=30001&unit=K", "register=30001&every=1ms", "register=30001&speed=1",
	} {
		q, _ := url.ParseQuery(bad)
		if err := new(Settings).Options(q); err == nil {
			t.Errorf("%q is accepted", bad)
		}
	}
}
