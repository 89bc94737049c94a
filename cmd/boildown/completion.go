package main

import (
	"github.com/spf13/cobra"
)

func completionCommand() *cobra.Command {
	return &cobra.Command{
		Use:       "completion bash|zsh|fish|powershell",
		Short:     "Print a completion script for your shell",
		Example:   "  source <(boildown completion bash)",
		ValidArgs: []string{"bash", "zsh", "fish", "powershell"},
		Args:      exactly(1, "the name of a shell"),
		RunE: func(cmd *cobra.Command, args []string) error {
			root, out := cmd.Root(), cmd.OutOrStdout()
			switch args[0] {
			case "bash":
				return root.GenBashCompletionV2(out, true)
			case "zsh":
				return root.GenZshCompletion(out)
			case "fish":
				return root.GenFishCompletion(out, true)
			case "powershell":
				return root.GenPowerShellCompletionWithDesc(out)
			}
			return usagef("take bash, zsh, fish or powershell", "there is no completion for %q", args[0])
		},
	}
}
