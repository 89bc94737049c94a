package main

import (
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/adrg/xdg"
)

// builtIn are the recipes of an invented market stall.
//
//go:embed recipes/*.toml
var builtIn embed.FS

const (
	recipeExt     = ".toml"
	maxRecipeSize = 64 << 10
	fromBuiltIn   = "built in"
)

// recipeDir is where a person's own recipes live.
func recipeDir() string { return filepath.Join(xdg.DataHome, "boildown", "recipes") }

// loadRecipe reads the recipe at a path, or by the name that `boildown recipe
// list` shows: the person's own first, then the built-in ones.
func loadRecipe(pathOrName string) (*recipe, error) {
	text, from, err := findRecipe(pathOrName)
	if err != nil {
		return nil, err
	}
	r, bad := parseRecipe(text, from)
	if bad != nil {
		return nil, bad.failed()
	}
	return r, nil
}

// findRecipe returns the text of a recipe and what to call the place it is in.
func findRecipe(pathOrName string) (text, from string, err error) {
	isPath := strings.ContainsRune(pathOrName, filepath.Separator) || strings.HasSuffix(pathOrName, recipeExt)
	if isPath {
		text, err = readRecipe(pathOrName)
		if errors.Is(err, fs.ErrNotExist) {
			return "", "", usagef("boildown recipe list shows those that are known by name", "there is no recipe file %q", pathOrName)
		}
		return text, pathOrName, err
	}
	own := filepath.Join(recipeDir(), pathOrName+recipeExt)
	if text, err = readRecipe(own); err == nil || !errors.Is(err, fs.ErrNotExist) {
		return text, own, err
	}
	if b, err := builtIn.ReadFile("recipes/" + pathOrName + recipeExt); err == nil {
		return string(b), fromBuiltIn, nil
	}
	var names []string
	for _, e := range shelfOfRecipes() {
		names = append(names, e.Name)
	}
	return "", "", usagef(didYouMean(pathOrName, names)+" A file is named with its ending: ./mine.toml", "there is no recipe %q", pathOrName)
}

func readRecipe(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", fmt.Errorf("cannot read the recipe: %w", err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, maxRecipeSize+1))
	switch {
	case err != nil:
		return "", hinted(fmt.Errorf("cannot read the recipe: %w", err), "name a recipe file, not a folder")
	case len(b) > maxRecipeSize:
		return "", usagef("a recipe is a page of text: is this the right file?", "%q is larger than a recipe can be (64 KiB)", path)
	}
	return string(b), nil
}

// shelved is one recipe on the list.
type shelved struct {
	Name   string  // to call it by
	From   string  // its path, or "built in"
	Recipe *recipe // nil when it cannot be read
	Err    error
}

// shelfOfRecipes lists the person's own recipes, then the built-in ones that
// none of their own hides.
func shelfOfRecipes() []shelved {
	var list []shelved
	add := func(name, from, text string, err error) {
		e := shelved{Name: name, From: from, Err: err}
		if err == nil {
			r, bad := parseRecipe(text, from)
			if e.Recipe = r; bad != nil {
				e.Err = bad.failed()
			}
		}
		list = append(list, e)
	}
	own, _ := filepath.Glob(filepath.Join(recipeDir(), "*"+recipeExt))
	slices.Sort(own)
	for _, path := range own {
		text, err := readRecipe(path)
		add(strings.TrimSuffix(filepath.Base(path), recipeExt), path, text, err)
	}
	entries, _ := builtIn.ReadDir("recipes")
	for _, entry := range entries {
		name := strings.TrimSuffix(entry.Name(), recipeExt)
		if slices.ContainsFunc(list, func(e shelved) bool { return e.Name == name }) {
			continue
		}
		b, err := builtIn.ReadFile("recipes/" + entry.Name())
		add(name, fromBuiltIn, string(b), err)
	}
	return list
}
