package query

import (
	"slices"
	"strings"
	"unicode"

	"witnessmark/shop"
)

// ModelVersion is the version of the rules that make the read models, such as what a car is found by. An engine makes
// them again when the database has another one. Count it up with every change of refreshCar and of what it calls.
const ModelVersion = 1

// plainWords lowers the case and leaves out all that is no letter, digit or space, so that "AB-12 CD" and "ab12 cd" are the
// same words; white space becomes one space.
func plainWords(text string) []string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		case unicode.IsLetter(r), unicode.IsDigit(r), unicode.IsMark(r):
			b.WriteRune(unicode.ToLower(r))
		}
	}
	return strings.Fields(b.String())
}

// squeezed is the text as one word.
func squeezed(text string) string { return strings.Join(plainWords(text), "") }

// searchText is what a car is found by. The plate and the phone number are in it without spaces, however they are
// written: the words of a query may be any parts of them.
func searchText(c shop.CarVersion) string {
	parts := []string{squeezed(c.Plate), squeezed(c.VIN), squeezed(c.Owner.Phone), squeezed(c.Owner.Email)}
	parts = append(parts, plainWords(c.Owner.Name)...)
	parts = append(parts, plainWords(c.Description)...)
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), " ")
}

// Limits of a search. The program's own, so that a pasted page of text can't keep the database busy.
const (
	maxSearchLength = 400
	maxSearchWords  = 20
)

// searchWords gives the words that must all occur. A word that is part of another adds nothing. Those with digits come
// first, then the longest: the fewer cars have the first word, the less there is to look at for the others.
func searchWords(text string) ([]string, error) {
	words := plainWords(text)
	slices.SortStableFunc(words, func(a, b string) int { return len(b) - len(a) })
	var keep []string
	for _, word := range words {
		if !slices.ContainsFunc(keep, func(k string) bool { return strings.Contains(k, word) }) {
			keep = append(keep, word)
		}
	}
	if len(text) > maxSearchLength || len(keep) > maxSearchWords {
		return nil, shop.Invalid{{Field: "text", Text: "This is too long to look for. Use fewer words."}}
	}
	slices.SortStableFunc(keep, func(a, b string) int { return withoutDigit(a) - withoutDigit(b) })
	return keep, nil
}

// withoutDigit is 1 for a word that has no digit.
func withoutDigit(word string) int {
	if strings.ContainsFunc(word, unicode.IsDigit) {
		return 0
	}
	return 1
}
