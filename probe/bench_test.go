package probe

import "testing"

// BenchmarkParse reads the shapes that boards print most.
func BenchmarkParse(b *testing.B) {
	for _, row := range []struct {
		name, line string
		f          Format
	}{
		{"bare", "112.43", Format{}},
		{"labelled", "T=112.43 C", Format{}},
		{"field", "1234,24.1,112.43,0", Format{Field: 3, Sep: ","}},
		{"JSON", `{"n":1234,"temp":112.43}`, Format{}},
	} {
		b.Run(row.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, fault := row.f.Parse(row.line); fault != FaultNone {
					b.Fatal(fault)
				}
			}
		})
	}
}
