// Accuracy measures the fold on simulated cooks whose truth is known, and
// prints what it finds beside what it should be.
//
//	go run ./cmd/accuracy            # the whole corpus, some minutes
//	go run ./cmd/accuracy -quick     # a look in less than a minute
//	go run ./cmd/accuracy -worst 10  # the cooks that were forecast worst
//
// The truth for a reading is when the pot would have reached the target had
// the heat stayed as it was at that reading: the simulated pot is run on with
// its knob held still. A forecast that is missing or has run out counts as
// 100 % wrong, for the fold and for all that it is compared with:
//
//   - a straight line through the last 30 s, and through the last 120 s;
//   - a quadratic through the last 120 s;
//   - limit (c), a weighted fit of the boil-off line that is told the true
//     boiling curve, the true offset and each past change of the heat;
//   - limit (d), the same fit told only what the program is told.
package main
