package sessions

import (
	"slices"
	"time"
)

// Label is what a cook says of a batch afterwards. The zero value says nothing.
type Label struct {
	Title   string
	Tags    []string
	Note    string
	Outcome Outcome
}

// Outcome is how a batch turned out. The zero value is not judged yet.
type Outcome struct {
	Texture int    `json:"texture,omitempty"` // what it is like once cold: 1 runny … 7 shatters; 0 not judged
	Grain   bool   `json:"grain,omitempty"`   // it crystallised
	Scorch  bool   `json:"scorch,omitempty"`  // it tastes burnt
	Thrown  bool   `json:"thrown,omitempty"`  // it was thrown away
	Coat    string `json:"coat,omitempty"`    // "held" on the pieces, "slid" off them; "" not judged
	Colour  string `json:"colour,omitempty"`  // in the cook's word, as "amber"
	Water   string `json:"water,omitempty"`   // what the cold-water test showed, as "firm ball"; "" when none was made
	Taste   string `json:"taste,omitempty"`
	Pieces  int    `json:"pieces,omitempty"` // how many came of it; 0 not counted
	Text    string `json:"text,omitempty"`
}

// textureWords say what the sweet is like, never whether it was wanted so: that
// is the recipe's affair.
var textureWords = [...]string{"", "runny", "sticky", "soft", "chewy", "firm", "hard", "shatters"}

// Textures is the number of levels of [Outcome.Texture].
const Textures = len(textureWords) - 1

// TextureWord returns the texture in words, "" when it was not judged.
func (o Outcome) TextureWord() string {
	if o.Texture < 0 || o.Texture >= len(textureWords) {
		return ""
	}
	return textureWords[o.Texture]
}

// Amendment changes a label: fields that are nil stay as they are. A file
// holds amendments in the order in which they were made, and the last wins.
type Amendment struct {
	When    time.Time `json:"when"`
	Title   *string   `json:"title,omitempty"`
	Tags    *[]string `json:"tags,omitempty"`
	Note    *string   `json:"note,omitempty"`
	Outcome *Outcome  `json:"outcome,omitempty"`
}

// Apply returns l changed by a.
func (l Label) Apply(a Amendment) Label {
	if a.Title != nil {
		l.Title = clean(*a.Title, 200)
	}
	if a.Tags != nil {
		l.Tags = cleanTags(*a.Tags)
	}
	if a.Note != nil {
		l.Note = cleanLines(*a.Note, maxText)
	}
	if a.Outcome != nil {
		l.Outcome = *a.Outcome
		l.Outcome.Text = cleanLines(l.Outcome.Text, maxText)
		l.Outcome.Coat, l.Outcome.Colour = clean(l.Outcome.Coat, 60), clean(l.Outcome.Colour, 60)
		l.Outcome.Water = clean(l.Outcome.Water, 60)
		l.Outcome.Taste = clean(l.Outcome.Taste, 200)
		l.Outcome.Pieces = max(l.Outcome.Pieces, 0)
		if l.Outcome.TextureWord() == "" {
			l.Outcome.Texture = 0
		}
	}
	return l
}

func cleanTags(tags []string) []string {
	var out []string
	for _, t := range tags[:min(len(tags), 50)] {
		if t = clean(t, 60); t != "" && !slices.Contains(out, t) {
			out = append(out, t)
		}
	}
	return out
}

type wireAmend struct {
	K string `json:"k"` // "amend"
	Amendment
}

type wireClose struct {
	K string `json:"k"` // "close"
	Summary
}

// Amend appends a to a session that nobody is recording. The batch itself is
// not touched: the file only grows.
func Amend(path string, a Amendment) error {
	line, err := sealed(wireAmend{K: "amend", Amendment: a})
	if err != nil {
		return troubleAt("writing an amendment to", path, err)
	}
	f, err := osDisk{}.Append(path)
	if err != nil {
		return troubleAt("opening", path, err)
	}
	defer f.Close()
	if err := f.Lock(); err != nil {
		return troubleAt("opening", path, err)
	}
	end, err := endsLine(f)
	if err != nil {
		return troubleAt("reading", path, err)
	}
	if !end { // a torn last line must not swallow this one
		line = append([]byte{'\n'}, line...)
	}
	if _, err := f.Write(line); err != nil {
		return troubleAt("writing an amendment to", path, err)
	}
	if err := f.Sync(); err != nil {
		return troubleAt("writing an amendment to", path, err)
	}
	return nil
}

// endsLine reports whether f is empty or ends with a line end.
func endsLine(f File) (bool, error) {
	info, err := f.Stat()
	if err != nil || info.Size() == 0 {
		return true, err
	}
	var last [1]byte
	_, err = f.ReadAt(last[:], info.Size()-1)
	return last[0] == '\n', err
}
