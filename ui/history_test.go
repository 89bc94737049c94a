package ui

import (
	"math"
	"runtime"
	"sync"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

func addReading(h *History, at time.Duration, c float64, f probe.Fault) {
	h.Add(plateau.Input{Kind: plateau.Measured, At: at, C: probe.Celsius(c), Fault: f},
		plateau.Advice{At: at, C: probe.Celsius(c), HasC: true, Fault: f})
}

// Twelve hours at ten readings a second take no more memory than the first.
func TestHistoryIsFlat(t *testing.T) {
	h := NewHistory()
	fill := func(from, to time.Duration) {
		for at := from; at < to; at += 100 * time.Millisecond {
			addReading(h, at, 100+math.Sin(at.Minutes()), probe.FaultNone)
		}
	}
	heap := func() int64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return int64(m.HeapAlloc)
	}
	fill(0, time.Hour)
	before := heap()
	fill(time.Hour, 12*time.Hour)
	if grown := heap() - before; grown > 64<<10 {
		t.Errorf("grew by %d bytes in eleven hours", grown)
	}
	if len(h.buckets) != bucketCount || h.width != 8*time.Second {
		t.Errorf("%d buckets of %v", len(h.buckets), h.width)
	}
	cols := h.columns(0, 12*time.Hour, 12*time.Hour, 100)
	for i, c := range cols {
		if math.IsNaN(c.c) || math.Abs(c.c-100) > 1 {
			t.Fatalf("column %d is %v", i, c.c)
		}
	}
	runtime.KeepAlive(h)
}

// A spike of one reading is still there when its bucket has become 32 times
// as wide.
func TestSpikeSurvives(t *testing.T) {
	h := NewHistory()
	spike := 2 * time.Hour
	for at := time.Duration(0); at < 12*time.Hour; at += 500 * time.Millisecond {
		c := 100.0
		if at == spike {
			c = 140
		}
		addReading(h, at, c, probe.FaultNone)
	}
	cols := h.columns(0, 12*time.Hour, 12*time.Hour, 60)
	hi := 0.0
	for _, c := range cols {
		hi = max(hi, c.hi)
	}
	if hi != 140 {
		t.Errorf("hottest is %v, want 140", hi)
	}
	if c := cols[10]; math.Abs(c.c-100) > 0.1 {
		t.Errorf("the mean of the spike's column is %v", c.c)
	}
}

// Merging buckets loses no sum, count or extreme.
func TestHalvingKeepsSums(t *testing.T) {
	h := NewHistory()
	n, sum := 0, 0.0
	for i := range 5 * bucketCount {
		c := float64(i%37) + 80
		addReading(h, time.Duration(i)*300*time.Millisecond, c, probe.FaultNone)
		n, sum = n+1, sum+c
	}
	gotN, gotSum := 0, 0.0
	for _, b := range h.buckets {
		gotN += int(b.n)
		gotSum += float64(b.sum)
		if b.n > 0 && (b.first > b.last || float64(b.last) > h.width.Seconds()) {
			t.Fatalf("readings from %v to %v in a bucket of %v", b.first, b.last, h.width)
		}
	}
	if gotN != n || math.Abs(gotSum-sum) > sum*1e-6 {
		t.Errorf("%d readings summing to %v, want %d and %v", gotN, gotSum, n, sum)
	}
}

func TestGapIsNeverCrossed(t *testing.T) {
	for _, c := range []struct {
		name string
		gap  func(*History) // between the minutes 1 and 2
	}{
		{"nothing comes", func(*History) {}},
		{"faults come", func(h *History) {
			for at := time.Minute; at < 2*time.Minute; at += time.Second {
				addReading(h, at, 0, probe.FaultOpen)
			}
		}},
		{"silence", func(h *History) {
			for at := time.Minute + 5*time.Second; at < 2*time.Minute; at += 5 * time.Second {
				h.Add(plateau.Input{Kind: plateau.Silent, At: at}, plateau.Advice{})
			}
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := NewHistory()
			for at := time.Duration(0); at < time.Minute; at += time.Second {
				addReading(h, at, 100, probe.FaultNone)
			}
			c.gap(h)
			for at := 2 * time.Minute; at < 3*time.Minute; at += time.Second {
				addReading(h, at, 120, probe.FaultNone)
			}
			for _, n := range []int{2, 3, 7, 18, 90, 360} {
				crossed := true
				for _, col := range h.columns(0, 3*time.Minute, 3*time.Minute, n) {
					crossed = crossed && !math.IsNaN(col.c)
				}
				if crossed {
					t.Errorf("%d columns: the line crosses the gap", n)
				}
			}
		})
	}
}

// A gap of a minute shows even where a column stands for ten.
func TestGapShowsInWideColumns(t *testing.T) {
	h := NewHistory()
	for at := time.Duration(0); at < 10*time.Hour; at += time.Second {
		if at > 5*time.Hour+time.Minute && at < 5*time.Hour+2*time.Minute {
			continue
		}
		addReading(h, at, 100, probe.FaultNone)
	}
	gaps := 0
	for _, c := range h.columns(0, 10*time.Hour, 10*time.Hour, 60) {
		if math.IsNaN(c.c) {
			gaps++
		}
	}
	if gaps != 1 {
		t.Errorf("%d empty columns, want 1", gaps)
	}
}

// Slow probes are joined up as long as a reading comes every five seconds.
func TestSlowReadingsAreJoined(t *testing.T) {
	h := NewHistory()
	for at := time.Duration(0); at <= time.Minute; at += 4 * time.Second {
		addReading(h, at, 100+at.Seconds(), probe.FaultNone)
	}
	for i, c := range h.columns(0, time.Minute, time.Minute, 60) {
		if at := float64(i) + 0.5; math.Abs(c.c-100-at) > 1 {
			t.Errorf("column %d is %v", i, c.c)
		}
	}
}

func TestDoubtedReadingIsShownNotUsed(t *testing.T) {
	h := NewHistory()
	for at := time.Duration(0); at < time.Minute; at += time.Second {
		f, c := probe.FaultNone, 100.0
		if at == 30*time.Second {
			f, c = probe.FaultSpike, 180
		}
		addReading(h, at, c, f)
	}
	cols := h.columns(0, time.Minute, time.Minute, 6)
	if cols[3].doubt != 180 || cols[3].c != 100 || cols[3].hi != 100 {
		t.Errorf("column %+v", cols[3])
	}
}

// A clock that has gone mad cannot make the history allocate or panic.
func TestAbsurdTimes(t *testing.T) {
	h := NewHistory()
	for _, at := range []time.Duration{-time.Hour, math.MaxInt64, math.MinInt64, 999 * time.Hour, 0} {
		addReading(h, at, 100, probe.FaultNone)
	}
	addReading(h, time.Second, math.Inf(1), probe.FaultNone)
	addReading(h, time.Second, math.NaN(), probe.FaultNone)
	addReading(h, time.Second, 1e300, probe.FaultNone)
	if got := len(h.columns(0, 1000*time.Hour, 1000*time.Hour, 50)); got != 50 {
		t.Errorf("%d columns", got)
	}
}

func TestUndoTakesBackTheLastStandingMark(t *testing.T) {
	h := NewHistory()
	tell := func(sec int, k plateau.Kind, m plateau.Mark, ago time.Duration) {
		h.Add(plateau.Input{Kind: k, At: time.Duration(sec) * time.Second, Mark: m, Ago: ago}, plateau.Advice{})
	}
	tell(10, plateau.Marked, plateau.MarkCreamStart, 4*time.Second)
	tell(20, plateau.Marked, plateau.MarkHeatDown, 0)
	tell(30, plateau.Undone, plateau.NoMark, 0)
	tell(40, plateau.Undone, plateau.NoMark, 0)
	for sec, want := range map[int]int{5: 0, 15: 1, 25: 2, 35: 1, 45: 0} {
		if got := h.Events(nil, time.Duration(sec)*time.Second); len(got) != want {
			t.Errorf("at %d s %d marks stand, want %d", sec, len(got), want)
		}
	}
	if e := h.Events(nil, 15*time.Second)[0]; e.At != 6*time.Second {
		t.Errorf("a late mark stands at %v, want 6 s", e.At)
	}
}

// The pump adds while the screen draws. Worth most under the race detector.
func TestHistoryWhileDrawing(t *testing.T) {
	m, _, _ := fakeLive(15, NoStyle)
	var wg sync.WaitGroup
	wg.Go(func() {
		for at := minutes(15); at < minutes(30); at += 100 * time.Millisecond {
			addReading(m.hist, at, 104, probe.FaultNone)
			m.hist.Add(plateau.Input{Kind: plateau.Marked, At: at, Mark: plateau.MarkNote}, plateau.Advice{Phase: plateau.Stall})
		}
	})
	for range 20 {
		if Frame(m, 80, 24) == "" {
			t.Error("nothing drawn")
		}
	}
	wg.Wait()
	if n := len(m.hist.Events(nil, time.Hour)); n > eventCount {
		t.Errorf("%d events are kept, at most %d should be", n, eventCount)
	}
}
