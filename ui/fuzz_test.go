package ui

import (
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"
)

// Whatever comes from outside, what is left can be put on a screen.
func FuzzClean(f *testing.F) {
	for _, s := range []string{"", "caramel", "a\x1b[2Jb", "\xff\xfe", "e\u0301", "\u202eabc", "漢字", "a\tb\nc"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := Clean(s)
		if !utf8.ValidString(got) || len(got) > len(s) {
			t.Errorf("Clean(%q) = %q", s, got)
		}
		for _, r := range got {
			if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
				t.Errorf("Clean(%q) keeps %U", s, r)
			}
		}
		if again := Clean(got); again != got {
			t.Errorf("Clean is not settled: %q, then %q", got, again)
		}
		cv := newCanvas(20, 1, false)
		cv.text(0, 0, plain, got)
		if err := fits(cv.render(newPalette(Dark, NoStyle), false), 20, 1); err != nil {
			t.Error(err)
		}
	})
}

// Whatever is pressed, the screen fits and nothing ends the batch without its
// word.
func FuzzKeys(f *testing.F) {
	for _, s := range []string{"dz", "l2c", "nabc\rq", "qend\r", "y  h", "t235\r", "??x", "mmmm", "q\x1bq\r\r"} {
		f.Add(s, byte(15))
	}
	f.Fuzz(func(t *testing.T, keys string, minute byte) {
		keys = keys[:min(len(keys), 60)]
		r := run(float64(minute % 24))
		typed := ""
		for _, k := range keys {
			msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{k}}
			switch k {
			case '\r':
				msg = keyMsg("enter")
			case 0x1b:
				msg = keyMsg("esc")
			case ' ':
				msg = keyMsg(" ")
			}
			if k != '\r' && k != 0x1b { // nor does a key without a letter part a word
				typed += strings.ToLower(Clean(string(k))) // what cannot be shown is not typed
			}
			_, cmd := r.Update(msg)
			r.do(cmd)
			r.wait(1400 * time.Millisecond)
			if err := fits(r.View(), 80, 24); err != nil {
				t.Fatal(err)
			}
		}
		if r.quit && r.potOn() && !strings.Contains(typed, leaveWord) {
			t.Errorf("%q ends the batch", keys)
		}
	})
}
