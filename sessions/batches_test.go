package sessions

import (
	"bytes"
	"flag"
	"os"
	"testing"
	"time"
)

var update = flag.Bool("update", false, "write the simulated batches of testdata anew")

// The invented batches in testdata, each with what it is to show.
var batchFiles = []struct {
	name string
	seed uint64
	do   func(k *kitchen)
	harm func(file []byte) []byte
	want func(s *Session) bool
}{
	{"clean.jsonl", 21, nil, nil,
		func(s *Session) bool { return s.Closed && !s.Torn && len(s.Damage) == 0 }},
	{"pulled-late.jsonl", 22, func(k *kitchen) { k.delay("pull", 45*time.Second) }, nil,
		func(s *Session) bool { return s.Closed && courseOf(s).peak > s.Header.Config.Target+1 }},
	{"torn.jsonl", 23, nil, func(file []byte) []byte { return file[:len(file)*2/3] },
		func(s *Session) bool { return !s.Closed && s.Torn && len(s.Damage) == 0 }},
	{"damaged.jsonl", 24, nil, func(file []byte) []byte {
		file[len(file)/2] ^= 0x20
		return file
	}, func(s *Session) bool { return s.Closed && len(s.Damage) == 1 }},
}

func TestBatchFiles(t *testing.T) {
	for i, b := range batchFiles {
		if *update {
			writeBatch(t, i)
		}
		s, err := Read(batches + b.name)
		if err != nil {
			t.Error(err)
			continue
		}
		if !b.want(s) || len(s.Records) < 900 || !s.Header.Demo {
			t.Errorf("%s: %d records, closed %v, torn %v, damage %v", b.name, len(s.Records), s.Closed, s.Torn, s.Damage)
		}
	}
}

func writeBatch(t *testing.T, i int) {
	t.Helper()
	b := batchFiles[i]
	k := newKitchen(b.seed)
	k.pot.Probe.Every = time.Second
	k.header.Start = k.header.Start.AddDate(0, 0, i)
	if b.do != nil {
		b.do(&k)
	}
	r, err := Create(t.TempDir(), k.header)
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Close(k.cookTo(r)); err != nil {
		t.Fatal(err)
	}
	file, err := os.ReadFile(r.Path())
	if err != nil {
		t.Fatal(err)
	}
	if b.harm != nil {
		file = b.harm(bytes.Clone(file))
	}
	if err := os.WriteFile(batches+b.name, file, 0o644); err != nil {
		t.Fatal(err)
	}
}
