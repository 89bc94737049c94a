package probe

// Link says whether an [Event] reports a change of the way to the probe. The
// zero value reports none.
type Link uint8

// The changes of a link.
const (
	LinkSame Link = iota
	LinkUp        // the probe answers, for the first time or again
	LinkLost      // the probe is gone or was never found; the source goes on trying
)

var linkWords = [...]string{"same", "up", "lost"}

// String returns "same", "up" or "lost".
func (l Link) String() string {
	if int(l) >= len(linkWords) {
		return "unknown"
	}
	return linkWords[l]
}

// Event is what a source hands on: a reading, news of the link, a word to the
// cook, or several of these at once.
//
// Every source has the method
//
//	Run(ctx context.Context, now func() time.Duration, emit func(Event)) error
//
// which calls emit from one goroutine, stamps [Reading.At] with now once, where
// the reading arrived, and returns nil when ctx ends, or an error when it can
// never work. A link that is lost comes with a reading of [FaultGone], so that
// a gap is on record from the moment it opens.
//
// Readings of another channel, such as the room's, are kept and shown and never
// taken for the pot's.
type Event struct {
	Reading    Reading // meaningful only when HasReading
	HasReading bool
	Link       Link
	Note       string // one sentence and its remedy, printable, "" for none
	Channel    string // whose reading it is: "" for the pot's, else the name of another channel
	Raw        string // the line the reading came from, made printable; "" when there was none
}
