package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"boildown/plateau"
)

// alertFlags say how a person is reached.
type alertFlags struct {
	command string
	notify  string
	quiet   bool
}

func (f *alertFlags) register(set *pflag.FlagSet) {
	f.sounds(set)
	set.BoolVar(&f.quiet, "quiet", false, "begin with the alarms off; the screen still shows them")
}

func (f *alertFlags) sounds(set *pflag.FlagSet) {
	set.StringVar(&f.command, "alert", "", "command of your own for each prompt, in one quoted argument; no shell runs")
	set.StringVar(&f.notify, "notify", "auto", "desktop notification: auto, off, or the escape convention 9, 777 or 99")
}

// settle reads the flags: the convention and, where there is one, the command.
func (f *alertFlags) settle() (kind notifyKind, argv []string, err error) {
	if kind, err = notifyFor(f.notify, os.Getenv); err != nil {
		return kind, nil, err
	}
	if f.command != "" {
		argv, err = parseAlert(f.command)
	}
	return kind, argv, err
}

func alertsCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "alerts",
		Short:   "Try the alarms before you need them",
		Example: "  boildown alerts test --alert 'paplay bell.oga'",
		Args:    exactly(0, "a command, as in boildown alerts test,"),
		RunE:    func(cmd *cobra.Command, args []string) error { return cmd.Help() },
	}
	cmd.AddCommand(alertsTestCommand())
	return cmd
}

func alertsTestCommand() *cobra.Command {
	var flags alertFlags
	var dir string
	cmd := &cobra.Command{
		Use:   "test",
		Short: "Sound the alarm until you say that you heard it from the stove",
		Long: `test sounds the alarm every two seconds, as for the pull, until you press Enter.
Go to the stove first, with the hood on, and listen there.`,
		Example: "  boildown alerts test\n  boildown alerts test --alert 'paplay bell.oga'",
		Args:    exactly(0, "no argument"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return alertsTest(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), dir, &flags)
		},
	}
	flags.sounds(cmd.Flags())
	registerDir(cmd.Flags(), &dir)
	return cmd
}

// testNotice is what a test of the alarm says.
func testNotice() notice {
	return notice{prompt: plateau.PullNow, text: "This is a test of the alarm. Nothing is wrong."}
}

// alertsTest sounds until in yields a line. The person's word is the only
// proof that a sound reached the stove, so the end of in is a failed test.
func alertsTest(ctx context.Context, in io.Reader, out io.Writer, dir string, flags *alertFlags) error {
	kind, argv, err := flags.settle()
	if err != nil {
		return err
	}
	crew := newCrew(ctx)
	defer crew.stop()
	bell := newBell(out, kind)
	crew.loose("bell", func() { bell.run(crew.ctx.Done()) })
	ways := []sounder{bell}
	if argv != nil {
		command := newAlertCommand(argv, newAlertLog(dir))
		crew.start("alert command", command.run)
		ways = append(ways, command)
	}
	fmt.Fprintln(out, "Sounding every two seconds. Go to the stove, hood on, and listen.")
	fmt.Fprintln(out, "Press Enter when you have heard it there; Ctrl-C if you have not.")
	ring := newRinger(0, ways...)
	heard := make(chan error, 1)
	crew.loose("keys", func() {
		_, err := bufio.NewReader(in).ReadString('\n')
		heard <- err
	})
	if err := ring.until(crew.ctx, heard); err != nil {
		if c := crew.fault(); c != nil {
			return c.ended("test of the alarm", dir, "nothing was changed", "; please report ")
		}
		return hinted(fmt.Errorf("nobody said that the alarm was heard"), "raise the terminal's bell, or give a command of your own with --alert, and test again")
	}
	_, err = fmt.Fprintln(out, "Good: heard at the stove.")
	return err
}

// test sounds once.
func (r *ringer) test() error {
	if len(r.sounders) == 0 {
		return fmt.Errorf("there is no bell and no command to test")
	}
	r.sound(testNotice())
	return nil
}

// until sounds the test again and again until heard says how it went.
func (r *ringer) until(ctx context.Context, heard <-chan error) error {
	tick := time.NewTicker(repeatEvery)
	defer tick.Stop()
	for n := testNotice(); ; n.again = true {
		r.sound(n)
		select {
		case err := <-heard:
			return err
		case <-ctx.Done():
			return ctx.Err()
		case <-tick.C:
		}
	}
}

// alertLog is a small file that takes what the user's commands print. It is
// opened at the first line: most batches have none.
type alertLog struct {
	path string
	mu   sync.Mutex
	file *os.File
	size int64
}

// maxAlertLog is where the log is begun anew, in bytes.
const maxAlertLog = 1 << 20

func newAlertLog(dir string) *alertLog { return &alertLog{path: filepath.Join(dir, "alerts.log")} }

// Write never fails: a log that cannot be written must not stop an alarm.
func (l *alertLog) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.file == nil || l.size > maxAlertLog {
		l.open()
	}
	if l.file != nil {
		n, _ := l.file.Write(b)
		l.size += int64(n)
	}
	return len(b), nil
}

func (l *alertLog) open() {
	if l.file != nil {
		l.file.Close()
		l.file = nil
	}
	flags := os.O_WRONLY | os.O_CREATE | os.O_APPEND
	if info, err := os.Stat(l.path); err == nil && info.Size() > maxAlertLog {
		flags |= os.O_TRUNC
	}
	if os.MkdirAll(filepath.Dir(l.path), 0o700) != nil {
		return
	}
	f, err := os.OpenFile(l.path, flags, 0o600)
	if err != nil {
		return
	}
	l.file, l.size = f, 0
	if info, err := f.Stat(); err == nil {
		l.size = info.Size()
	}
}
