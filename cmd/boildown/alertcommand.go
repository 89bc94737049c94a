package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"time"

	"boildown/probe"
	"boildown/probe/mqtt"
)

// alertLimit is how long the user's command may run.
const alertLimit = 10 * time.Second

// alertCommand runs the user's own command for each prompt that is to be
// heard. One runs at a time. While it does, the gravest prompt that comes
// waits; an alarm does not wait for a command that was started for less.
type alertCommand struct {
	argv  []string
	log   io.Writer // takes what the command prints
	queue chan notice
}

func newAlertCommand(argv []string, log io.Writer) *alertCommand {
	return &alertCommand{argv: argv, log: log, queue: make(chan notice, 16)}
}

func (c *alertCommand) sound(n notice) {
	select {
	case c.queue <- n:
	default:
	}
}

// run starts commands until ctx ends, and with it the one that still runs.
func (c *alertCommand) run(ctx context.Context) {
	var waiting *notice
	for {
		var n notice
		if waiting != nil {
			n, waiting = *waiting, nil
		} else {
			select {
			case <-ctx.Done():
				return
			case n = <-c.queue:
			}
		}
		waiting = c.one(ctx, n)
		if ctx.Err() != nil {
			return
		}
	}
}

// one runs the command for n and returns what is to follow it, if anything.
func (c *alertCommand) one(ctx context.Context, n notice) (next *notice) {
	ctx, cancel := context.WithTimeout(ctx, alertLimit)
	defer cancel()
	running := probe.Send(func() error {
		c.exec(ctx, n)
		return nil
	})
	for {
		select {
		case <-running.Done():
			running.Wait()
			return next
		case m := <-c.queue:
			switch {
			case m.again: // the one that runs says it already, or what waits does
				continue
			case next == nil || rankOf(m.prompt) >= rankOf(next.prompt):
				next = &m
			}
			if rankOf(next.prompt) > rankOf(n.prompt) {
				cancel()
			}
		}
	}
}

// exec runs the command to its end and logs how that went.
func (c *alertCommand) exec(ctx context.Context, n notice) {
	cmd := exec.CommandContext(ctx, c.argv[0], c.argv[1:]...)
	ownGroup(cmd)
	cmd.WaitDelay = time.Second // its children may hold the pipe open
	cmd.Env = append(ownEnv(), noticeEnv(n)...)
	cmd.Stdin = bytes.NewReader(noticeJSON(n))
	out := &headWriter{w: c.log, left: 4 << 10}
	cmd.Stdout, cmd.Stderr = out, out
	err := cmd.Run()
	out.raise()
	word := "ok"
	switch {
	case ctx.Err() == context.DeadlineExceeded:
		word = fmt.Sprintf("stopped after %s", alertLimit)
	case ctx.Err() != nil:
		word = "stopped for a graver prompt or the end of the cook"
	case err != nil:
		word = err.Error()
	}
	fmt.Fprintf(c.log, "%s %s: %s\n", time.Now().Format(time.RFC3339), n.prompt, oneLine(word))
}

// ownEnv is our environment without what nobody else needs to know.
func ownEnv() []string {
	return slices.DeleteFunc(os.Environ(), func(s string) bool {
		name, _, _ := strings.Cut(s, "=")
		return name == mqtt.EnvPassword
	})
}

// noticeEnv is what the command finds in its environment.
func noticeEnv(n notice) []string {
	env := []string{
		"BOILDOWN_PROMPT=" + n.prompt.String(),
		"BOILDOWN_TEXT=" + oneLine(n.text),
		"BOILDOWN_PHASE=" + n.advice.Phase.String(),
		"BOILDOWN_SECONDS=" + strconv.FormatFloat(n.advice.At.Seconds(), 'f', 1, 64),
		"BOILDOWN_TARGET_C=" + strconv.FormatFloat(float64(n.advice.Target), 'f', 1, 64),
		"BOILDOWN_REPEAT=" + strconv.FormatBool(n.again),
	}
	if n.advice.HasNow {
		env = append(env, "BOILDOWN_CELSIUS="+strconv.FormatFloat(float64(n.advice.Now), 'f', 1, 64))
	}
	return env
}

// noticeJSON is the same on the command's standard input.
func noticeJSON(n notice) []byte {
	m := struct {
		Prompt  string   `json:"prompt"`
		Text    string   `json:"text"`
		Phase   string   `json:"phase"`
		Seconds *float64 `json:"seconds"`
		Celsius *float64 `json:"celsius"`
		Target  *float64 `json:"target_c"`
		ETA     *float64 `json:"eta_s"`
		Repeat  bool     `json:"repeat"`
	}{
		Prompt: n.prompt.String(), Text: oneLine(n.text), Phase: n.advice.Phase.String(), Repeat: n.again,
		Seconds: rounded(n.advice.At.Seconds(), 3), Target: rounded(float64(n.advice.Target), 1),
	}
	if n.advice.HasNow {
		m.Celsius = rounded(float64(n.advice.Now), 1)
	}
	if n.advice.Forecast.Ok() {
		m.ETA = rounded(n.advice.Forecast.ETA.Seconds(), 1)
	}
	b, err := json.Marshal(m)
	if err != nil { // only finite numbers and text are in it
		return []byte("{}\n")
	}
	return append(b, '\n')
}

// headWriter lets the first bytes through and drops the rest, so that a
// command that floods fills no disk.
type headWriter struct {
	w    io.Writer
	left int
	hurt *probe.Panic // of w: the writing is done by a goroutine of the library's
}

// raise goes on with the panic that a Write has caught.
func (h *headWriter) raise() {
	if h.hurt != nil {
		panic(h.hurt)
	}
}

func (h *headWriter) Write(b []byte) (int, error) {
	defer func() {
		if r := recover(); r != nil && h.hurt == nil {
			h.hurt = probe.PanicOf(r)
		}
	}()
	n := len(b)
	if h.left > 0 {
		k := min(h.left, n)
		h.left -= k
		_, _ = h.w.Write(b[:k])
	}
	return n, nil
}

// splitWords splits a command line into words. Quotes and backslashes group as
// a shell would have them; nothing else means anything, since no shell runs.
func splitWords(s string) ([]string, error) {
	var words []string
	var word strings.Builder
	open, quote := false, rune(0)
	rest := []rune(s)
	for i := 0; i < len(rest); i++ {
		r := rest[i]
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case r == '\\' && quote != '\'':
			if i++; i == len(rest) {
				return nil, fmt.Errorf("%q ends in a backslash", s)
			}
			open = true
			word.WriteRune(rest[i])
		case quote != 0:
			word.WriteRune(r)
		case r == '\'' || r == '"':
			quote, open = r, true
		case r == ' ' || r == '\t' || r == '\n':
			if open {
				words = append(words, word.String())
				word.Reset()
				open = false
			}
		default:
			open = true
			word.WriteRune(r)
		}
	}
	if quote != 0 {
		return nil, fmt.Errorf("%q has a quote without an end", s)
	}
	if open {
		words = append(words, word.String())
	}
	return words, nil
}

// parseAlert turns the --alert flag into an argument list whose program exists.
func parseAlert(s string) ([]string, error) {
	argv, err := splitWords(s)
	if err != nil {
		return nil, usagef("write it as you would type it, in one quoted argument", "--alert: %w", err)
	}
	if len(argv) == 0 {
		return nil, usagef("give a command, as in --alert 'paplay bell.oga'", "--alert is empty")
	}
	if _, err := exec.LookPath(argv[0]); err != nil {
		return nil, usagef("give the program's whole path; no shell looks at this line", "--alert: cannot run %q: %w", argv[0], err)
	}
	return argv, nil
}
