package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"boildown/sessions"
)

func labelCommand() *cobra.Command {
	var dir, title, note string
	var tags []string
	var o sessions.Outcome
	cmd := &cobra.Command{
		Use:   "label FILE|NAME|last",
		Short: "Give a kept batch a title, tags, a note, and how it turned out",
		Long: `label appends to the batch's file what is said of it; the batch itself stays as it
was. The texture is that of the cold sweet: 1 runny, 2 sticky, 3 soft, 4 chewy,
5 firm, 6 hard, 7 shatters.`,
		Example: "  boildown label last --texture chewy --coat held --pieces 24 --title \"Pears for the fair\"\n  boildown label last --tag fair --tag copper --note \"stirred too long\"",
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
			if a.Outcome, err = judged(found.Label.Outcome, o, said); err != nil {
				return err
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
	set.Var(&value[int]{to: &o.Texture, parse: judgedTexture, kind: "texture"}, "texture", "1 runny, 2 sticky, 3 soft, 4 chewy, 5 firm, 6 hard, 7 shatters, by number or word; 0 takes it back")
	set.BoolVar(&o.Grain, "grain", false, "it grained")
	set.BoolVar(&o.Scorch, "scorched", false, "it tastes burnt")
	set.BoolVar(&o.Thrown, "thrown", false, "it was thrown away")
	set.StringVar(&o.Coat, "coat", "", "held on the pieces, or slid off")
	set.StringVar(&o.Colour, "colour", "", "pale, golden, amber, dark, burnt")
	set.StringVar(&o.Water, "water-test", "", "what a drop in cold water made, as soft ball")
	set.StringVar(&o.Taste, "taste", "", "how it tastes, in words")
	set.IntVar(&o.Pieces, "pieces", 0, "how many pieces came of it")
	set.StringVar(&o.Text, "outcome", "", "how it turned out, in words")
	return cmd
}

// judgedTexture reads a texture; 0 stands for not judged.
func judgedTexture(s string) (int, error) {
	if s == "0" {
		return 0, nil
	}
	return sessions.TextureFor(s)
}

// judged returns the outcome before with what was said of it now, nil when
// nothing was.
func judged(before, now sessions.Outcome, said func(string) bool) (*sessions.Outcome, error) {
	judges, o := false, before
	for name, set := range map[string]func(){
		"texture": func() { o.Texture = now.Texture }, "grain": func() { o.Grain = now.Grain },
		"scorched": func() { o.Scorch = now.Scorch }, "thrown": func() { o.Thrown = now.Thrown },
		"coat": func() { o.Coat = now.Coat }, "colour": func() { o.Colour = now.Colour },
		"water-test": func() { o.Water = now.Water }, "taste": func() { o.Taste = now.Taste },
		"pieces": func() { o.Pieces = now.Pieces }, "outcome": func() { o.Text = now.Text },
	} {
		if said(name) {
			set()
			judges = true
		}
	}
	switch {
	case o.Pieces < 0:
		return nil, usagef("leave it out when they were not counted", "%d pieces are fewer than none", o.Pieces)
	case !judges:
		return nil, nil
	}
	return &o, nil
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
