// Package sessions keeps batches: it records one while it cooks, reads it back
// whatever happened to the file, lists the shelf of them, replays, reviews and
// compares them, and writes reports, CSV and drawings.
//
// [Create] starts the record of a batch and [Read] loads one. A session holds
// what the fold was told, not what it concluded: stepping [Session.Inputs]
// through [plateau.Step] from the header's [plateau.Config] gives back the
// whole cook, and [Replay] does that with seeking. Prompts and the closing
// summary are kept as history.
//
// On top of that, [List] and [Find] answer what is on the shelf, [Review] says
// where a batch went wrong, [Compare] sets batches side by side, [FindEndpoint]
// learns the endpoint from those that were judged, [HabitsOf] the cook's hand,
// and [WriteReport], [WriteSVG] and [WriteCSV] hand them on. [Import] and
// [ReadCSV] take curves from elsewhere.
//
// # File format
//
// A session is a UTF-8 text file of JSON Lines. The first line holds the
// format's name, its major version and the [Header]; then come readings,
// marks, silences, changes of target, acknowledgements, undos, resumptions,
// prompts and notes about the probe's link in the order in which they came;
// a closing line holds a [Summary], and amendments (title, tags, outcome) may
// follow it. Every line ends with the field
//
//	,"crc":"1a2b3c4d"}
//
// the CRC-32C (Castagnoli, RFC 3720 appendix B.4) of all bytes of the line
// before that comma, in lower-case hexadecimal. DEVELOPERS.md lists the keys.
//
// # Promises
//
// A line is only ever appended. An unfinished last line is what a crash
// leaves and costs nothing else. Damage further up is reported with its place
// and hides nothing behind it. Unknown fields are ignored, unknown kinds of
// line are skipped with a note, and a file of a newer major version is refused.
// Every file that a released version wrote stays readable.
//
// [Recorder] never blocks its caller on the disk. Readings are stored raw, in
// milliseconds and thousandths of a degree Celsius, and [Rounded] makes of an
// input what the file will hold, so that live and replay step the same.
//
// # What it does not promise
//
// A line is safe once it is synced, about a second after it came or at once
// for a mark; a power cut takes what is younger. A drive that lies about
// syncing takes more. On a file system without locks nothing keeps a second
// recorder out. The folder's index is a cache and may be deleted at any time.
package sessions
