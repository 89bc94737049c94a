package main

import (
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// ear is a sounder that remembers.
type ear struct {
	mu    sync.Mutex
	heard []notice
}

func (e *ear) sound(n notice) {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.heard = append(e.heard, n)
}

func (e *ear) words() (words []string) {
	e.mu.Lock()
	defer e.mu.Unlock()
	for _, n := range e.heard {
		w := n.prompt.String()
		if n.again {
			w += "*"
		}
		words = append(words, w)
	}
	return words
}

// ringing runs a ringer in simulated time.
func ringing(t *testing.T, drive func(r *ringer, e *ear)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		e := &ear{}
		r := newRinger(probe.UnitF, e)
		crew := newCrew(t.Context())
		crew.start("alarms", r.run)
		drive(r, e)
		crew.stop()
	})
}

func advice(began, standing, quiet plateau.Prompts) plateau.Advice {
	return plateau.Advice{Began: began, Standing: standing, Quiet: quiet}
}

func TestPullRepeatsUntilAcknowledged(t *testing.T) {
	pull := plateau.Prompts(0).With(plateau.PullNow)
	ringing(t, func(r *ringer, e *ear) {
		r.watch(plateau.Input{}, advice(pull, pull, 0))
		time.Sleep(5 * time.Second)
		synctest.Wait()
		if got, want := e.words(), []string{"pull", "pull*", "pull*"}; !slices.Equal(got, want) {
			t.Errorf("heard %v in 5 s, want %v", got, want)
		}
		r.watch(plateau.Input{}, advice(0, pull, pull))
		time.Sleep(time.Minute)
		synctest.Wait()
		if got := len(e.words()); got != 3 {
			t.Errorf("%d soundings after the acknowledgement, want none", got-3)
		}
	})
}

func TestPullStopsWhenPulled(t *testing.T) {
	pull := plateau.Prompts(0).With(plateau.PullNow)
	ringing(t, func(r *ringer, e *ear) {
		r.watch(plateau.Input{}, advice(pull, pull, 0))
		time.Sleep(3 * time.Second)
		r.watch(plateau.Input{}, advice(0, 0, 0))
		time.Sleep(time.Minute)
		synctest.Wait()
		if got, want := e.words(), []string{"pull", "pull*"}; !slices.Equal(got, want) {
			t.Errorf("heard %v, want %v", got, want)
		}
	})
}

// An acknowledgement silences the alarm that stood, not the graver one that
// begins afterwards.
func TestAcknowledgedAlarmDoesNotSilenceTheNext(t *testing.T) {
	pull := plateau.Prompts(0).With(plateau.PullNow)
	past := pull.With(plateau.PastTarget)
	ringing(t, func(r *ringer, e *ear) {
		r.watch(plateau.Input{}, advice(0, pull, pull))
		r.watch(plateau.Input{}, advice(past.Without(plateau.PullNow), past, pull))
		time.Sleep(3 * time.Second)
		synctest.Wait()
		if got, want := e.words(), []string{"past-target", "past-target*"}; !slices.Equal(got, want) {
			t.Errorf("heard %v, want %v", got, want)
		}
	})
}

func TestQuietSoundsNothing(t *testing.T) {
	pull := plateau.Prompts(0).With(plateau.PullNow)
	ringing(t, func(r *ringer, e *ear) {
		r.setQuiet(true)
		r.watch(plateau.Input{}, advice(pull, pull, 0))
		time.Sleep(10 * time.Second)
		synctest.Wait()
		if got := e.words(); len(got) != 0 {
			t.Errorf("heard %v while quiet", got)
		}
		r.setQuiet(false)
		time.Sleep(3 * time.Second)
		synctest.Wait()
		if got := e.words(); len(got) == 0 {
			t.Error("the pull that stands is not heard after quiet ended")
		}
	})
}

func TestEveryPromptHasARank(t *testing.T) {
	loud := []plateau.Prompt{plateau.PullNow, plateau.PastTarget, plateau.Burn, plateau.Scorch, plateau.ProbeFault}
	for p := plateau.Prompt(0); p.String() != ""; p++ {
		if got, want := rankOf(p) == alarm, slices.Contains(loud, p); got != want {
			t.Errorf("%s is an alarm: %v, want %v", p, got, want)
		}
	}
	if repeats(plateau.ProbeFault) {
		t.Error("a doubtful probe would sound for the rest of the batch")
	}
}

func TestNotifySequence(t *testing.T) {
	for _, c := range []struct {
		kind notifyKind
		want string
	}{
		{notifyOff, ""},
		{notify9, "\x1b]9;boildown: Pull the pot\x1b\\"},
		{notify777, "\x1b]777;notify;boildown;Pull the pot\x1b\\"},
		{notify99, "\x1b]99;;boildown: Pull the pot\x1b\\"},
	} {
		if got := c.kind.sequence("Pull the pot"); got != c.want {
			t.Errorf("convention %d writes %q, want %q", c.kind, got, c.want)
		}
		hostile := c.kind.sequence("4;1\x1b]0;owned\a\u009d2;x\x9c\n")
		inner := strings.TrimSuffix(strings.TrimPrefix(hostile, "\x1b]"), "\x1b\\")
		if strings.ContainsAny(inner, "\x1b\a\n\u009d\u009c") {
			t.Errorf("convention %d lets control characters through: %q", c.kind, hostile)
		}
	}
}

func TestNotifyAuto(t *testing.T) {
	for _, c := range []struct {
		env  map[string]string
		want notifyKind
	}{
		{map[string]string{"TERM": "xterm-256color"}, notifyOff},
		{map[string]string{"TERM": "xterm-kitty", "KITTY_WINDOW_ID": "1"}, notify99},
		{map[string]string{"TERM": "xterm-256color", "TERM_PROGRAM": "WezTerm"}, notify9},
		{map[string]string{"TERM": "foot"}, notify777},
		{map[string]string{"TERM": "tmux-256color", "TMUX": "x", "TERM_PROGRAM": "WezTerm"}, notifyOff},
	} {
		got, err := notifyFor("auto", func(k string) string { return c.env[k] })
		if err != nil || got != c.want {
			t.Errorf("%v: convention %d, error %v; want %d", c.env, got, err, c.want)
		}
	}
	if _, err := notifyFor("loud", func(string) string { return "" }); err == nil {
		t.Error("an unknown convention is taken")
	}
}
