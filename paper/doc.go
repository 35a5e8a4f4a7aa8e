// Package paper writes what is read and filled in away from a screen: the owner's report, the estimate and the round's
// sheet for pen, as PDF on A4 with a margin for filing holes. The same input gives the same bytes.
//
// The Go fonts are embedded (BSD licence, in golang.org/x/image): Latin letters of European languages, Greek and Cyrillic. What they lack is
// named in square brackets, with a note at the foot of the page.
//
// The drawing is ink on white with one blue hue; verdicts are told by word, shape, place and darkness, so that a copy
// in black and white says the same. The PDF is a convenience copy: the web page of a report is the accessible one.
package paper
