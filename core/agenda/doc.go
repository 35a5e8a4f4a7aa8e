// Package agenda turns what was found on a car, and what is foreseen for it, into doings with the days on which they fall due: what must
// not wait, by when the rest is to be done, and what being early or late is weighed at. It knows no visits and no prices.
package agenda
