package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"github.com/spf13/cobra"

	"boildown/probe"
)

func recipeCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "recipe",
		Short: "Keep recipes: new, list, show, check",
		Long: `A recipe is a small text file (TOML): what is melted, what cream goes in, how far
to boil, when to dip, what pot. cook, trace and plan take one by name or file.
Yours live in the data folder that boildown recipe list names; those built in
belong to an invented market stall.

Keys of the file; amounts are text with a unit, as in "400 g" or "1 1/2 cups":
  name, about, notes    words
  target                "235 °F"; target_is = "sea-level" (default) or "here"
  sweet                 in place of target, as in "dipping caramel", "soft ball"
  texture               wanted once cold: runny, sticky, soft, chewy, firm, hard
                        or shatters; boildown endpoint looks for it
  yield, yield_of       24, "pretzel rods"
  [[melt]] [[cream]] [[after]]
      food, amount      once for each ingredient; volumes are weighed, and the
                        density used is shown
      fat               of cream, in %
      warm              how warm the cream goes in: "140 °F"; else it is taken for cold
      made_of           of a food that is not known: { water = 54, fat = 35,
                        protein = 4, carbohydrate = 6, ash = 1, grams_per_ml = 1 }
  [dip]                 open, close ("215 °F", never shifted), depth ("2.5 cm")
  [pot]                 holds, material, weighs, across, non_stick = true`,
		Example: "  boildown recipe new mine\n  boildown recipe show stall-dip",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return usagef(didYouMean(args[0], []string{"new", "list", "show", "check"}), "boildown recipe has no command %q", args[0])
		},
		RunE: func(cmd *cobra.Command, args []string) error { return cmd.Help() },
	}
	cmd.AddCommand(recipeListCommand(), recipeShowCommand(), recipeNewCommand(), recipeCheckCommand())
	return cmd
}

// completeRecipe offers the names on the list, and files.
func completeRecipe(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	var names []string
	for _, e := range shelfOfRecipes() {
		names = append(names, e.Name)
	}
	return names, cobra.ShellCompDirectiveDefault
}

func recipeListCommand() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "List your recipes and those built in",
		Example: "  boildown recipe list",
		Args:    exactly(0, "no argument"),
		RunE: func(cmd *cobra.Command, args []string) error {
			list := shelfOfRecipes()
			if asJSON {
				return writeJSON(cmd, listRows(list))
			}
			out := cmd.OutOrStdout()
			for _, e := range list {
				if e.Err != nil {
					fmt.Fprintf(out, "%-16s cannot be used: %s\n", probe.Printable(e.Name), oneLine(e.Err.Error()))
					continue
				}
				fmt.Fprintf(out, "%-16s %s: %s\n", probe.Printable(e.Name), e.Recipe.Name, oneLine(e.Recipe.summary()))
			}
			_, err := fmt.Fprintf(out, "\nYours live in %s\n", probe.Printable(recipeDir()))
			return err
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

// listRow is one recipe in list --json.
type listRow struct {
	Name    string  `json:"name"`
	Title   string  `json:"title,omitempty"`
	From    string  `json:"from"`
	TargetC float64 `json:"target_c,omitempty"`
	Trouble string  `json:"trouble,omitempty"`
}

func listRows(list []shelved) []listRow {
	rows := []listRow{}
	for _, e := range list {
		row := listRow{Name: e.Name, From: e.From}
		if e.Err != nil {
			row.Trouble = e.Err.Error()
		} else {
			row.Title, row.TargetC = e.Recipe.Name, float64(e.Recipe.Target)
		}
		rows = append(rows, row)
	}
	return rows
}

func recipeShowCommand() *cobra.Command {
	asText, unit := false, probe.UnitF
	cmd := &cobra.Command{
		Use:               "show RECIPE",
		Short:             "Show a recipe in grams, and what its endpoint rests on",
		Example:           "  boildown recipe show stall-dip\n  boildown recipe show stall-dip --text",
		Args:              exactly(1, "one recipe, by name or file"),
		ValidArgsFunction: completeRecipe,
		RunE: func(cmd *cobra.Command, args []string) error {
			r, err := loadRecipe(args[0])
			if err != nil {
				return err
			}
			if asText {
				_, err = fmt.Fprintln(cmd.OutOrStdout(), printable(r.Text))
				return err
			}
			return r.write(cmd.OutOrStdout(), unit)
		},
	}
	cmd.Flags().BoolVar(&asText, "text", false, "print the file itself")
	cmd.Flags().Var(unitValue(&unit, "F"), "unit", "scale of what is shown")
	return cmd
}

func recipeNewCommand() *cobra.Command {
	from := ""
	cmd := &cobra.Command{
		Use:     "new NAME",
		Short:   "Begin a recipe of your own from one that works",
		Example: "  boildown recipe new mine\n  boildown recipe new wraps-2 --from soft-wraps",
		Args:    exactly(1, "one name, as in mine,"),
		RunE: func(cmd *cobra.Command, args []string) error {
			path, err := newRecipe(args[0], from)
			if err != nil {
				return err
			}
			shown := probe.Printable(path)
			_, err = fmt.Fprintf(cmd.OutOrStdout(), "Written to %s\nEdit it, then: boildown recipe check %s\n", shown, args[0])
			return err
		},
	}
	cmd.Flags().StringVar(&from, "from", "stall-dip", "the recipe to begin from, by name or file")
	_ = cmd.RegisterFlagCompletionFunc("from", completeRecipe)
	return cmd
}

// Names that make a file on every system, and the lines that name the recipe
// and say of a built-in one that it is invented.
var (
	recipeName = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)
	nameLine   = regexp.MustCompile(`(?m)^name\s*=.*$`)

	aboutLine   = regexp.MustCompile(`(?m)^about\s*=.*$`)
	headComment = regexp.MustCompile(`^(#.*\n)+\n*`)
)

// newRecipe writes a recipe called name that begins as another one and returns
// its path. It never writes over a file.
func newRecipe(name, from string) (string, error) {
	if !recipeName.MatchString(name) {
		return "", usagef("take small letters, digits and hyphens, as in pear-dip-2", "%q does not make a file name everywhere", name)
	}
	base, err := loadRecipe(from)
	if err != nil {
		return "", err
	}
	title := strings.ReplaceAll(name, "-", " ")
	text := nameLine.ReplaceAllLiteralString(base.Text, fmt.Sprintf("name = %q", strings.ToUpper(title[:1])+title[1:]))
	if base.From == fromBuiltIn { // what is the person's own is no longer invented
		text = aboutLine.ReplaceAllLiteralString(headComment.ReplaceAllLiteralString(text, ""), `about = ""`)
	}
	path := filepath.Join(recipeDir(), name+recipeExt)
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return "", hinted(fmt.Errorf("cannot keep the recipe: %w", err), "XDG_DATA_HOME names another folder to keep recipes in")
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	switch {
	case errors.Is(err, fs.ErrExist):
		return "", usagef("take another name, or edit that file", "there is a recipe %q already, in %s", name, path)
	case err != nil:
		return "", hinted(fmt.Errorf("cannot keep the recipe: %w", err), "XDG_DATA_HOME names another folder to keep recipes in")
	}
	_, err = f.WriteString(text)
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return "", hinted(fmt.Errorf("cannot keep the recipe: %w", err), "is the disk full?")
	}
	return path, nil
}

func recipeCheckCommand() *cobra.Command {
	return &cobra.Command{
		Use:               "check RECIPE...",
		Short:             "Say all that is wrong with recipes, with line, field and remedy",
		Example:           "  boildown recipe check mine\n  boildown recipe check ./*.toml",
		ValidArgsFunction: completeRecipe,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return nil
			}
			return usagef("boildown recipe check mine", "%s wants a recipe, by name or file", cmd.CommandPath())
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			bad := 0
			for _, arg := range args {
				if !checkRecipe(cmd, arg) {
					bad++
				}
			}
			if bad > 0 {
				return usagef("each line above says what to write instead", "%d of %d recipes cannot be used", bad, len(args))
			}
			return nil
		},
	}
}

// checkRecipe prints what is wrong with a recipe, or that nothing is.
func checkRecipe(cmd *cobra.Command, arg string) bool {
	out := cmd.OutOrStdout()
	text, from, err := findRecipe(arg)
	if err != nil {
		fmt.Fprintf(out, "%s: %s\n", probe.Printable(arg), oneLine(err.Error()))
		return false
	}
	r, bad := parseRecipe(text, from)
	if bad == nil {
		fmt.Fprintf(out, "%s: good: %s\n", probe.Printable(arg), oneLine(r.summary()))
		return true
	}
	for _, p := range bad.Problems {
		fmt.Fprintf(out, "%s: %s\n    %s\n", probe.Printable(arg), oneLine(p.String()), oneLine(p.Remedy))
	}
	return false
}
