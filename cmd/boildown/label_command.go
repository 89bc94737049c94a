package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"boildown/sessions"
)

func labelCommand() *cobra.Command {
	var dir, title, note, text string
	var tags []string
	var texture int
	var grain, scorched bool
	cmd := &cobra.Command{
		Use:   "label FILE|NAME|last",
		Short: "Give a kept batch a title, tags, a note, and how it turned out",
		Long: `label appends to the batch's file what is said of it; the batch itself stays as it
was. The texture is a number: 1 far too soft, 2 too soft, 3 a little soft,
4 as wanted, 5 a little hard, 6 too hard, 7 far too hard.`,
		Example: "  boildown label last --texture 4 --title \"Pears for the fair\"\n  boildown label last --tag fair --tag copper --note \"stirred too long\"",
		Args:    exactly(1, "one batch: a file, the beginning of a name, or last"),
		RunE: func(cmd *cobra.Command, args []string) error {
			said := cmd.Flags().Changed
			a := sessions.Amendment{When: time.Now()}
			if said("title") {
				a.Title = &title
			}
			if said("tag") {
				a.Tags = &tags
			}
			if said("note") {
				a.Note = &note
			}
			found, err := sessions.Find(dir, args[0])
			if err != nil {
				return usagef("boildown sessions lists the batches", "%w", err)
			}
			if said("texture") || said("grain") || said("scorched") || said("outcome") {
				o := found.Label.Outcome
				for name, set := range map[string]func(){
					"texture": func() { o.Texture = texture }, "grain": func() { o.Grain = grain },
					"scorched": func() { o.Scorch = scorched }, "outcome": func() { o.Text = text },
				} {
					if said(name) {
						set()
					}
				}
				if o.Texture < 0 || o.Texture > 7 {
					return usagef("boildown label --help says what the numbers mean", "texture %d is not between 1 and 7", o.Texture)
				}
				a.Outcome = &o
			}
			if a.Title == nil && a.Tags == nil && a.Note == nil && a.Outcome == nil {
				return usagef("boildown label --help shows an example", "nothing to say of the batch was given")
			}
			if err := sessions.Amend(found.Path, a); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "Labelled %s\n", oneLine(found.Name))
			return nil
		},
	}
	set := cmd.Flags()
	registerDir(set, &dir)
	set.StringVar(&title, "title", "", "what to call the batch")
	set.StringArrayVar(&tags, "tag", nil, "tag; give it again for more, all others go")
	set.StringVar(&note, "note", "", "a note")
	set.IntVar(&texture, "texture", 0, "1 far too soft … 4 as wanted … 7 far too hard")
	set.BoolVar(&grain, "grain", false, "it grained")
	set.BoolVar(&scorched, "scorched", false, "it tastes burnt")
	set.StringVar(&text, "outcome", "", "how it turned out, in words")
	return cmd
}

func deleteCommand() *cobra.Command {
	var dir string
	cmd := &cobra.Command{
		Use:     "delete NAME",
		Short:   "Move a kept batch to the bin",
		Example: "  boildown delete 2026-03-14T09-12-00Z.jsonl",
		Args:    exactly(1, "one batch: the beginning of a name, or last"),
		RunE: func(cmd *cobra.Command, args []string) error {
			found, err := sessions.Find(dir, args[0])
			if err != nil {
				return usagef("boildown sessions lists the batches", "%w", err)
			}
			binned, err := sessions.Discard(dir, found.Name)
			if err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s is in the bin. boildown restore %s brings it back.\n", oneLine(found.Title()), oneLine(binned))
			return nil
		},
	}
	registerDir(cmd.Flags(), &dir)
	return cmd
}

func restoreCommand() *cobra.Command {
	var dir string
	cmd := &cobra.Command{
		Use:     "restore [NAME]",
		Short:   "Bring a batch back from the bin; without a name, list the bin",
		Example: "  boildown restore\n  boildown restore 2026-03-14T09-12-00Z.jsonl",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			out := cmd.OutOrStdout()
			if len(args) == 0 {
				binned, err := sessions.Bin(dir)
				for _, e := range binned {
					fmt.Fprintf(out, "%s  %s\n", oneLine(e.Name), oneLine(e.Title()))
				}
				if err == nil && len(binned) == 0 {
					fmt.Fprintln(out, "The bin is empty.")
				}
				return err
			}
			name, err := sessions.Restore(dir, args[0])
			if err != nil {
				return usagef("boildown restore lists the bin", "%w", err)
			}
			fmt.Fprintf(out, "Back on the shelf as %s\n", oneLine(name))
			return nil
		},
	}
	registerDir(cmd.Flags(), &dir)
	return cmd
}

func repairCommand() *cobra.Command {
	var dir string
	cmd := &cobra.Command{
		Use:     "repair FILE|NAME",
		Short:   "Write a damaged batch anew without what cannot be read",
		Long:    "repair is hardly ever needed: a damaged batch opens as it is. It writes the file\nanew without what cannot be read, and keeps the old one beside it as .broken.",
		Example: "  boildown repair 2026-03-14T09",
		Args:    exactly(1, "one batch: a file or the beginning of a name"),
		RunE: func(cmd *cobra.Command, args []string) error {
			found, err := sessions.Find(dir, args[0])
			if err != nil {
				return usagef("boildown sessions lists the batches", "%w", err)
			}
			done, err := sessions.Repair(found.Path)
			if err != nil {
				return err
			}
			out := cmd.OutOrStdout()
			if done.Old == "" {
				fmt.Fprintf(out, "%s is whole: nothing was done.\n", oneLine(found.Name))
				return nil
			}
			for _, d := range done.Damage {
				fmt.Fprintf(out, "left out: %s\n", oneLine(d.Error()))
			}
			fmt.Fprintf(out, "%d lines kept. The old file is %s\n", done.Kept, oneLine(done.Old))
			return nil
		},
	}
	registerDir(cmd.Flags(), &dir)
	return cmd
}
