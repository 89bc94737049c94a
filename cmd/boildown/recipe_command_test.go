package main

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/adrg/xdg"
)

// ownShelf gives a test a data folder of its own and returns where recipes go.
func ownShelf(t *testing.T) string {
	t.Helper()
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	return recipeDir()
}

func TestRecipeNew(t *testing.T) {
	dir := ownShelf(t)
	out, err := runCommand(t, recipeCommand(), "new", "friday-dip", "--from", "pear-dip")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "friday-dip.toml")
	if !strings.Contains(out, path) {
		t.Errorf("does not say where it is: %s", out)
	}
	r, err := loadRecipe("friday-dip")
	if err != nil || r.Name != "Friday dip" || r.From != path {
		t.Fatalf("%+v, %v", r, err)
	}
	if strings.Contains(strings.ToLower(r.Text), "invented") {
		t.Errorf("one's own recipe says that it is invented:\n%s", r.Text)
	}
	before, _ := os.ReadFile(path)
	if _, err := runCommand(t, recipeCommand(), "new", "friday-dip"); err == nil {
		t.Error("a second one was written over the first")
	}
	if after, _ := os.ReadFile(path); string(after) != string(before) {
		t.Error("the first one was changed")
	}
	for _, name := range []string{"../up", "Upper", "a b", "", "-x", strings.Repeat("a", 41), "x/y"} {
		if _, err := newRecipe(name, "stall-dip"); err == nil {
			t.Errorf("%q passes for a name", name)
		}
	}
}

func TestRecipeList(t *testing.T) {
	dir := ownShelf(t)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"stall-dip": plainRecipe, "broken": "name = \"x\n"} {
		if err := os.WriteFile(filepath.Join(dir, name+".toml"), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	out, err := runCommand(t, recipeCommand(), "list")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"stall-dip        Test:", "broken           cannot be used: ", "pear-dip", dir} {
		if !strings.Contains(out, want) {
			t.Errorf("leaves out %q:\n%s", want, out)
		}
	}
	if strings.Contains(out, "Stall dip") {
		t.Error("one's own recipe does not hide the built-in one of that name")
	}
	out, err = runCommand(t, recipeCommand(), "list", "--json")
	var rows []listRow
	if err != nil || json.Unmarshal([]byte(out), &rows) != nil || len(rows) != 4 {
		t.Errorf("%v in %s", err, out)
	}
}

func TestRecipeShow(t *testing.T) {
	out, err := runCommand(t, recipeCommand(), "show", "pear-dip")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"1 cup: 237 mL at 0.845 g/mL", "USDA", "soft ball, 235–240 °F", "never shifted", "6 pears", "by a guess"} {
		if !strings.Contains(strings.Join(strings.Fields(out), " "), want) {
			t.Errorf("leaves out %q:\n%s", want, out)
		}
	}
	text, err := runCommand(t, recipeCommand(), "show", "pear-dip", "--text")
	if err != nil {
		t.Fatal(err)
	}
	if _, bad := parseRecipe(text, "again"); bad != nil {
		t.Errorf("what --text prints is no recipe: %v", bad)
	}
}

func TestRecipeUnknownCommand(t *testing.T) {
	_, err := runCommand(t, recipeCommand(), "lsit")
	var f *failure
	if !errors.As(err, &f) || f.status != statusUsage || f.hint != `did you mean "list"?` {
		t.Errorf("got %v, %+v", err, f)
	}
}

func TestRecipeCheck(t *testing.T) {
	dir := t.TempDir()
	good, bad := filepath.Join(dir, "good.toml"), filepath.Join(dir, "bad.toml")
	text := strings.NewReplacer(`"400 g"`, `"400"`, `fat =`, `fatt =`).Replace(plainRecipe)
	for path, text := range map[string]string{good: plainRecipe, bad: text} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	out, err := runCommand(t, recipeCommand(), "check", good)
	if err != nil || !strings.Contains(out, "good:") {
		t.Errorf("%v: %s", err, out)
	}
	out, err = runCommand(t, recipeCommand(), "check", good, bad, filepath.Join(dir, "none.toml"))
	if err == nil || !strings.Contains(err.Error(), "2 of 3") {
		t.Errorf("error %v", err)
	}
	for _, want := range []string{"line 6: melt 1 amount", `amount = "400 g"`, "line 10: cream.fatt", `"fat"`, "no recipe file"} {
		if !strings.Contains(out, want) {
			t.Errorf("leaves out %q:\n%s", want, out)
		}
	}
}
