package plateau

// Prompt is one thing that a cook is told. Their words are part of trace's
// contract.
type Prompt uint8

// The prompts.
const (
	Swirl      Prompt = iota // swirl the melting sugar
	Sample                   // look at a sample of the melt
	AddCream                 // the melt is ready for cream
	HoldCream                // wait with the cream
	Stalled                  // the stall has begun
	LowerHeat                // turn the heat down for the climb
	NearTarget               // a few degrees to go
	PullNow                  // pull the pot
	PastTarget               // over the target and not pulled
	DipOpen                  // cool enough to dip
	DipClosing               // the dip window closes soon
	DipClosed                // too cool to dip
	Burn                     // the melt heads past 190 °C
	Scorch                   // on the heat and 5 °C past target
	Seize                    // the cream has seized the sugar
	BoilOver                 // foam may rise over the rim
	Stir                     // scrape the bottom, milk catches
	NotRising                // this heat will not get there
	ProbeFault               // the readings are not to be trusted
	promptCount
)

var promptWords = [promptCount]string{
	"swirl", "sample", "add-cream", "hold-cream", "stall", "lower-heat", "near-target", "pull",
	"past-target", "dip-open", "dip-closing", "dip-closed", "burn", "scorch", "seize", "boil-over",
	"stir", "not-rising", "probe",
}

// String returns the prompt's word.
func (p Prompt) String() string {
	if p >= promptCount {
		return ""
	}
	return promptWords[p]
}

// PromptFor returns the prompt whose [Prompt.String] is s, and whether there
// is one.
func PromptFor(s string) (Prompt, bool) {
	for p, w := range promptWords {
		if w == s {
			return Prompt(p), true
		}
	}
	return 0, false
}

// Prompts is a set of prompts. The zero value is empty.
type Prompts uint32

// Has reports whether p is in the set.
func (s Prompts) Has(p Prompt) bool { return s&(1<<p) != 0 }

// With returns the set with p.
func (s Prompts) With(p Prompt) Prompts { return s | 1<<p }

// Without returns the set without p.
func (s Prompts) Without(p Prompt) Prompts { return s &^ (1 << p) }

// All yields the set's prompts in the order of their constants.
func (s Prompts) All(yield func(Prompt) bool) {
	for p := range promptCount {
		if s.Has(p) && !yield(p) {
			return
		}
	}
}
