// Accuracy measures the fold on simulated cooks whose truth is known, and
// prints what it finds beside what it should be.
//
//	go run ./cmd/accuracy                          # the whole corpus, some minutes
//	go run ./cmd/accuracy -quick                   # a look in less than a minute
//	go run ./cmd/accuracy -slice calibrated,cycling # only what both slices hold
//	go run ./cmd/accuracy -worst 10                # the cooks that went worst, with their draw
//
// # Truth
//
// The truth for a reading is when the pot would have reached the target had
// the heat stayed as it was at that reading: the simulated pot is run on with
// its knob held still; a hob that cycles goes on cycling. The target is reached
// when a prompt and noiseless probe with this one's offset would show it. What
// takes over three hours is not on its way.
//
// # What the fold is held against
//
//   - a straight line through the last 30 s, and through the last 120 s;
//   - a quadratic through the last 120 s;
//   - limit (c), a weighted fit of the boil-off line that is told the true
//     boiling curve, the true offset, lag and heat capacities, each past change
//     of the heat, and which readings are mishaps;
//   - limit (d), the same fit told only what the program is told, and when the
//     pot began to boil;
//   - for the stall, the first moment at which the readings can tell the pot's
//     own course from one that goes on warming, at odds of 19 to 1: see
//     onsetLimit.
//
// An error is a share of the time left. An answer that is missing or has run
// out counts as 100 % wrong, for the fold and for all the others.
//
// # Where it is judged
//
// At fixed points: 60 s after the stall began (90 s where the program was
// started in mid-boil), half-way from there to the target, and with 5 min,
// 2 min, 1 min and 30 s left, where the cook has them. The calibrated slice has
// a probe right to 0.3 K, the pressure known to 0.5 kPa, the recommended
// curve, and noise and steps of 0.1 K at most. Coverage and answers are shares
// of a cook's readings, averaged over the cooks.
//
// A simulated cook takes the pot off the heat two seconds after the pull
// prompt, or, if none comes, when it is 4 K too hot.
package main
