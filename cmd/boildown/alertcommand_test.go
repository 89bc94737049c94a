package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"boildown/plateau"
	"boildown/probe/mqtt"
)

// syncBuffer is a log that two goroutines use.
type syncBuffer struct {
	mu sync.Mutex
	bytes.Buffer
}

func (b *syncBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.Buffer.Write(p)
}

func (b *syncBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.Buffer.String()
}

func needShell(t *testing.T) {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("needs sh")
	}
}

// The user's command finds the prompt in its environment and on its input,
// and what it prints goes to the log, never to the screen.
func TestAlertCommandIsTold(t *testing.T) {
	needShell(t)
	dir := t.TempDir()
	t.Setenv(mqtt.EnvPassword, "h0t-sugar") // is not for the command
	script := `cat > "$0/stdin"; env | grep ^BOILDOWN_ | sort > "$0/env"; echo said so`
	log := &syncBuffer{}
	c := newAlertCommand([]string{"sh", "-c", script, dir}, log)
	n := notice{prompt: plateau.PullNow, text: "Pull; the pot $(now)", advice: plateau.Advice{Phase: plateau.Climb, Now: 112.5, HasNow: true, Target: 113}}
	c.exec(t.Context(), n)

	env, err := os.ReadFile(filepath.Join(dir, "env"))
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(env), "h0t-sugar") {
		t.Errorf("the broker's password is in its environment:\n%s", env)
	}
	for _, want := range []string{"BOILDOWN_PROMPT=pull", "BOILDOWN_TEXT=Pull; the pot $(now)", "BOILDOWN_PHASE=climb", "BOILDOWN_CELSIUS=112.5", "BOILDOWN_TARGET_C=113.0"} {
		if !slices.Contains(strings.Split(string(env), "\n"), want) {
			t.Errorf("environment lacks %q:\n%s", want, env)
		}
	}
	stdin, err := os.ReadFile(filepath.Join(dir, "stdin"))
	if err != nil {
		t.Fatal(err)
	}
	var got map[string]any
	if err := json.Unmarshal(stdin, &got); err != nil {
		t.Fatalf("%v in %q", err, stdin)
	}
	if got["prompt"] != "pull" || got["celsius"] != 112.5 || got["text"] != n.text {
		t.Errorf("standard input says %v", got)
	}
	if !strings.Contains(log.String(), "said so") || !strings.Contains(log.String(), "pull: ok") {
		t.Errorf("log says %q", log)
	}
}

// An alarm ends a hanging command that was started for a lesser prompt, and
// the hanging command's children with it.
func TestAlarmDoesNotWaitForALesserCommand(t *testing.T) {
	needShell(t)
	log := &syncBuffer{}
	c := newAlertCommand([]string{"sh", "-c", `[ "$BOILDOWN_PROMPT" = pull ] && exit 0; sleep 600 & sleep 600; wait`}, log)
	c.queue <- notice{prompt: plateau.PullNow}
	next := c.one(t.Context(), notice{prompt: plateau.AddCream})
	if next == nil || next.prompt != plateau.PullNow {
		t.Fatalf("next is %+v, want the pull", next)
	}
	if got := c.one(t.Context(), *next); got != nil {
		t.Errorf("after the pull comes %+v", got)
	}
	if !strings.Contains(log.String(), "add-cream: stopped for a graver prompt") || !strings.Contains(log.String(), "pull: ok") {
		t.Errorf("log says %q", log)
	}
}

func TestFloodingCommandFillsNoLog(t *testing.T) {
	needShell(t)
	log := &syncBuffer{}
	newAlertCommand([]string{"sh", "-c", "yes | head -c 5000000"}, log).exec(t.Context(), notice{})
	if n := len(log.String()); n > 5<<10 {
		t.Errorf("%d bytes in the log", n)
	}
}

func TestSplitWords(t *testing.T) {
	for _, c := range []struct {
		in   string
		want []string
	}{
		{"", nil},
		{"  paplay   bell.oga ", []string{"paplay", "bell.oga"}},
		{`say "pull it" 'now; $(x)'`, []string{"say", "pull it", "now; $(x)"}},
		{`a\ b "c\"d" '' e''f`, []string{"a b", `c"d`, "", "ef"}},
		{`x | y > z & $HOME`, []string{"x", "|", "y", ">", "z", "&", "$HOME"}},
	} {
		got, err := splitWords(c.in)
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%q is %q, error %v; want %q", c.in, got, err, c.want)
		}
	}
	for _, in := range []string{`"open`, `'open`, `end\`} {
		if got, err := splitWords(in); err == nil {
			t.Errorf("%q is %q, want an error", in, got)
		}
	}
}

func FuzzSplitWords(f *testing.F) {
	for _, s := range []string{`a 'b c' "d\"e" \f`, `'`, `\`, "\x00 \xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		words, err := splitWords(s)
		if err != nil && words != nil {
			t.Errorf("%q: words %q beside the error %v", s, words, err)
		}
		n := 0
		for _, w := range words {
			n += len([]rune(w))
		}
		if n > len([]rune(s)) {
			t.Errorf("%q grew to %q", s, words)
		}
	})
}
