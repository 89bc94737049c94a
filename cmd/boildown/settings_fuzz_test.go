package main

import "testing"

// Any settings file is read or refused, and a refusal is fit for a terminal.
func FuzzSettings(f *testing.F) {
	for _, s := range []string{
		"", "near = \"8F\"\nprobe = \"kettle\"\n[probe.kettle]\naddress = \"usb:10C4:EA60\"\nbaud = 115200\n",
		"near = 8", "[probe.\"\\u001b[2J\"]\nlag = \"x\"", "[[probe]]", "a.b.c = {d = [1,2,[3]]}", "\x00\xff",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if _, wrong := parseSettings(text, "settings.toml"); wrong != nil {
			if bad := raw(oneLine(wrong.Error())); bad != "" {
				t.Errorf("the error holds %s", bad)
			}
		}
	})
}
