package main

import (
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// Help shows an example for every command, and every flag says what it is.
func TestEveryCommandShowsAnExample(t *testing.T) {
	var visit func(c *cobra.Command)
	visit = func(c *cobra.Command) {
		if c.Name() == "help" {
			return
		}
		if !strings.Contains(c.Example, "boildown") {
			t.Errorf("%s shows no example", c.CommandPath())
		}
		if c.Short == "" {
			t.Errorf("%s does not say what it does", c.CommandPath())
		}
		for _, sub := range c.Commands() {
			visit(sub)
		}
	}
	root := rootCommand()
	visit(root)
	if len(root.Commands()) < 8 {
		t.Errorf("only %d commands", len(root.Commands()))
	}
}
