package main

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	_ "boildown/ui/early" // before the terminal library starts up
)

const firstSteps = `boildown watches a pot of caramel through a probe thermometer.
  boildown cook --demo         a simulated pot on the screen, no probe needed
  boildown probes              find the thermometer that is plugged in
  boildown cook --probe PATH   watch a real batch; keys are shown at ?
  boildown --help              every command, each with an example
`

// run is main with its surroundings passed in; it returns the exit status.
// Only main turns that into an exit, so that a test can run a command whole.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	return execute(ctx, rootCommand(), args, stdin, stdout, stderr)
}

// execute runs a command. A fault of the program in it is one line and a note,
// like any other error.
func execute(ctx context.Context, root *cobra.Command, args []string, stdin io.Reader, stdout, stderr io.Writer) (status int) {
	defer func() {
		if r := recover(); r != nil {
			status = report(stderr, crashOf("", r).ended("command", defaultDir(), "what was kept is as it was", "; please report "))
		}
	}()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	return report(stderr, root.ExecuteContext(ctx))
}

func rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:           "boildown",
		Short:         "A dashboard for a pot of caramel",
		Long:          "boildown reads the probe thermometer in a pot of caramel, says where the cook is,\nforecasts when the target arrives, prompts for the cream, the lower heat and the\npull, keeps every batch and replays it.\n\nIt is an aid: it never replaces a person at the stove.",
		Example:       "  boildown cook --demo --speed 20",
		SilenceErrors: true,
		SilenceUsage:  true,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return usagef("boildown --help lists the commands", "there is no command %q", args[0])
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			_, err := io.WriteString(cmd.OutOrStdout(), firstSteps)
			return err
		},
	}
	root.CompletionOptions.DisableDefaultCmd = true // ours shows an example
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return usagef(cmd.CommandPath()+" --help lists the flags", "%w", err)
	})
	root.AddCommand(
		planCommand(), cookCommand(), replayCommand(), sessionsCommand(), browseCommand(), recipeCommand(),
		reviewCommand(), compareCommand(), reportCommand(), endpointCommand(), habitsCommand(), labelCommand(),
		exportCommand(), importCommand(), deleteCommand(), restoreCommand(), repairCommand(),
		probesCommand(), calibrateCommand(), settingsCommand(), alertsCommand(), watchCommand(),
		traceCommand(), completionCommand(), versionCommand(),
	)
	root.PersistentFlags().String(configFlag, "", "settings file; the usual one when not given, none for no settings")
	root.PersistentPreRunE = func(cmd *cobra.Command, args []string) error { return useSettings(cmd) }
	return root
}

// exactly wants n arguments and says which when they are not there.
func exactly(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) == n {
			return nil
		}
		return usagef(cmd.CommandPath()+" --help shows an example", "%s wants %s, not %d arguments", cmd.CommandPath(), what, len(args))
	}
}
