// Package pot is a simulated caramel pot with a probe in it: a source of
// readings for people without hardware, for demonstrations, and for measuring
// how good a forecast is, since here the truth is known.
//
// [New] makes a [Pot] from a [Config]; [Pot.Advance] lets time pass,
// [Pot.Read] looks at the probe and [Pot.Told] is what the cook does. [Source]
// runs a pot as a probe, and [Cook] is a scripted cook who presses the marks.
//
// # The model
//
// Three bodies hold heat: the hob, the pan's hot base, and the contents with
// the pot's wall. The contents are counted in grams of crystals, liquid
// sugar, seized lumps, water, fat and milk solids. They boil where the boiling
// curve says for the water and solutes that are in the pot now, and every
// joule that goes in is stored, boiled off, or lost to the room.
//
// # What it is not
//
// The stirred pot is one temperature; real ones have a cool rim. The melt, the
// seizing of sugar under cold cream, and the colour are plausible rather than
// measured. Every batch that comes out of it is invented.
package pot
