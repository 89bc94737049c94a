package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"runtime"
	"runtime/pprof"
	"sync"

	"boildown/plateau"
	"boildown/probe/pot"
)

// options are the flags.
type options struct {
	cooks, pulls int
	seed         uint64
	slice        string
	quick        bool
	worst        int
	cpu          string
}

func main() {
	var o options
	flag.IntVar(&o.cooks, "cooks", 1200, "hard cooks to forecast")
	flag.IntVar(&o.pulls, "pulls", 2400, "further cooks for the pull alone")
	flag.Uint64Var(&o.seed, "seed", 1, "seed of the corpus")
	flag.StringVar(&o.slice, "slice", "", "only the cooks of this slice, by its name in the tables; several joined by commas for what they share")
	flag.BoolVar(&o.quick, "quick", false, "150 cooks and 300 pulls, for a look")
	flag.IntVar(&o.worst, "worst", 0, "list so many of the cooks that were forecast worst")
	flag.StringVar(&o.cpu, "cpu", "", "write a CPU profile to this file")
	flag.Parse()
	if err := run(o, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "accuracy:", err)
		os.Exit(1)
	}
}

func run(o options, w io.Writer) error {
	if o.quick {
		o.cooks, o.pulls = min(o.cooks, 150), min(o.pulls, 300)
	}
	only := all[0]
	if o.slice != "" {
		s, ok := sliceFor(o.slice)
		if !ok {
			return fmt.Errorf("no slice is called %q; the tables name them all", o.slice)
		}
		only = s
	}
	if o.cpu != "" {
		f, err := os.Create(o.cpu)
		if err != nil {
			return fmt.Errorf("cannot write the profile: %w", err)
		}
		defer f.Close()
		if err := pprof.StartCPUProfile(f); err != nil {
			return fmt.Errorf("cannot profile: %w", err)
		}
		defer pprof.StopCPUProfile()
	}
	fmt.Fprintf(w, "fold version %s, seed %d, %d cooks, %d pulls", plateau.Version, o.seed, o.cooks, o.pulls)
	if o.slice != "" {
		fmt.Fprintf(w, ", slice %s only", o.slice)
	}
	fmt.Fprintln(w)
	cooks := each(o.cooks, func(n int, spare []row) (result, []row, bool) {
		h := pot.HardCook(o.seed, n)
		if !only.in(h) {
			return result{}, spare, false
		}
		return oneCook(h, spare)
	})
	pulls := each(o.pulls, func(n int, spare []row) (result, []row, bool) {
		h := pot.PullCook(o.seed, n)
		if !only.in(h) {
			return result{}, spare, false
		}
		return onePull(h, spare)
	})
	report(w, cooks, pulls)
	if o.slice == "" {
		reportMarket(w)
		reportCost(w, o.seed)
	}
	if o.worst > 0 {
		reportWorst(w, cooks, o.worst)
		reportWorstPulls(w, pulls, o.worst)
	}
	return nil
}

// oneCook runs a cook before the fold and measures it.
func oneCook(h pot.Hard, spare []row) (result, []row, bool) {
	out := cook(h, &fold{plateau.Start(told(h, 0))}, spare)
	return measure(out), out.rows, true
}

// onePull runs a cook of which only pull and near-target are of interest. The
// program is told how far such a pot goes on rising, as a cook who has made
// this batch before would have learnt it.
func onePull(h pot.Hard, spare []row) (result, []row, bool) {
	rise := carryOver(h)
	out := cook(h, &fold{plateau.Start(told(h, rise))}, spare)
	r := result{h: h, peakOff: nan, slope: out.slope, prompted: out.prompted, nearEarly: nan, nearAhead: nan}
	if out.pulled > 0 {
		r.peakOff = out.peak - float64(h.Target)
		measureNear(out, &r)
	}
	return r, out.rows, true
}

// each runs one for 0 to n−1 on all processors and returns what was kept, in
// order. Each worker hands its rows on to its next cook.
func each(n int, one func(n int, spare []row) (result, []row, bool)) []result {
	results, kept := make([]result, n), make([]bool, n)
	next := make(chan int)
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			var spare []row
			for i := range next {
				results[i], spare, kept[i] = one(i, spare)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
	out := results[:0]
	for i, ok := range kept {
		if ok {
			out = append(out, results[i])
		}
	}
	return out
}
