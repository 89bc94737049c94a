// Package ui is the terminal: the live screen beside the stove, the replay of
// a kept batch, and the shelf.
//
// [NewLive] makes the screen of a running batch from a [Feed] that it pulls
// and a [Teller] that it tells; [NewReplay] makes the screen of a recorded one
// from a [Tape]; [Frame] draws either without a terminal.
//
// # Layout
//
// From two metres away a cook must read three things: how hot it is, what to
// do, and how long is left. These three are drawn in letters several rows
// tall; all else is small print under them. What is dropped first when the
// window shrinks is the chart, then the words beside the figures; the three
// things stay to the smallest window, and below that the screen says so.
//
// # Colour
//
// Colour repeats what a word or a shape already says, so a screen without
// colour, a reader who does not tell red from green, and a terminal without
// UTF-8 lose nothing but looks.
//
// # Time and I/O
//
// Nothing here reads a clock, a file or a port. Update is a function of model
// and message; what reaches outside is a tea.Cmd. Text from outside (recipe
// names, notes, what a probe prints) passes [Clean] before it is drawn.
package ui
