package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"time"

	"github.com/spf13/cobra"

	"boildown/probe"
	"boildown/probe/mqtt"
	"boildown/ui"
)

// watchFlags say how to show the pots.
type watchFlags struct {
	screen screenFlags
	unit   probe.Unit
}

func watchCommand() *cobra.Command {
	flags := watchFlags{unit: probe.UnitF}
	cmd := &cobra.Command{
		Use:   "watch mqtt://HOST/TOPIC",
		Short: "Show every pot that publishes to a broker on one screen",
		Long: `watch shows each batch that is cooked with --publish to the topic or to one below
it: how hot, which phase, what to do, how long to the target, and how old that is.
When standard output is no terminal it prints plain lines.

It only shows. The alarm sounds where the batch is cooked, and the person belongs
there. User and password stand in BOILDOWN_MQTT_USER and
BOILDOWN_MQTT_PASSWORD[_FILE]; mqtts:// is the same over TLS.`,
		Example: "  boildown watch mqtt://192.168.1.5/kitchen\n  boildown watch mqtts://broker.example/shop --unit C",
		Args:    exactly(1, "a broker and a topic, as in mqtt://192.168.1.5/kitchen,"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return watch(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), args[0], &flags)
		},
	}
	set := cmd.Flags()
	flags.screen.register(set)
	set.Var(unitValue(&flags.unit, "F"), "unit", "scale of what is shown")
	return cmd
}

func watch(ctx context.Context, in io.Reader, out io.Writer, address string, flags *watchFlags) error {
	broker, base, err := mqtt.ParseURL(address, os.Getenv)
	if err != nil {
		return usagef("write it like boildown watch mqtt://192.168.1.5/kitchen", "%w", err)
	}
	ctx, stop := signal.NotifyContext(ctx, endingSignals...)
	defer stop()
	board := newPotBoard(base)
	crew := newCrew(ctx)
	defer crew.stop()
	crew.start("broker", func(ctx context.Context) {
		mqtt.Watch(ctx, broker, base, func(m mqtt.Seen) { board.take(m, time.Now()) }, board.remark)
	})
	term := openTerminal(in, out, &flags.screen)
	if term == nil {
		return endOfWatch(crew, watchPlainly(crew.ctx, out, board, flags.unit))
	}
	defer term.restore()
	cfg := flags.screen.config()
	cfg.Name, cfg.Unit = base, flags.unit
	screen := ui.NewProgram(ui.NewPots(cfg, board), term.in, term.out)
	defer context.AfterFunc(crew.ctx, screen.Quit)()
	return endOfWatch(crew, screen.Run())
}

// endOfWatch words what ended a watch.
func endOfWatch(crew *crew, err error) error {
	c := screenCrash(err)
	if c == nil {
		c = crew.fault()
	}
	if c == nil {
		return err
	}
	return c.ended("watch", defaultDir(), "the pots themselves are cooked and recorded elsewhere", "; please report ")
}

// watchPlainly prints a line for each pot when it says something new, and every
// ten seconds.
func watchPlainly(ctx context.Context, out io.Writer, board *potBoard, u probe.Unit) error {
	lines := potLines{unit: u, said: map[string]string{}, due: map[string]time.Time{}}
	tick := time.NewTicker(250 * time.Millisecond)
	defer tick.Stop()
	for {
		for _, line := range lines.next(board, time.Now()) {
			if _, err := fmt.Fprintln(out, oneLine(line)); err != nil {
				return nil // nobody reads on
			}
		}
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
		}
	}
}
