// Package simulate invents a workshop: cars, owners, rounds and readings over some years, made from a seed alone. The
// same seed gives the same facts, byte for byte. Parts wear and fluids turn by laws that are kept in a Truth, so that
// forecasts made from the readings can be scored against what was drawn. Nobody and nothing in it exists: the names, plates
// and figures are made up, telephone numbers come from ranges reserved for fiction and e-mail goes to example.org.
package simulate
