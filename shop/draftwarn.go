package shop

import (
	"strings"
	"unicode/utf8"

	"witnessmark/core/estimate"
)

// longest is how many bytes of a finding's words go into an estimate; a warning quotes up to three of them.
const longest = 480

// DeclineWarning gives the words that an owner is shown, and must tick, when declining an item that must not be put off. They say what
// was found, what waiting means and what the law calls it, and never that a car is safe. Empty for an item that can be put off.
func DeclineWarning(it estimate.Item) string {
	if !it.Must {
		return ""
	}
	parts := []string{"We rate this as unsafe: " + ended(it.Name)}
	if it.Why != "" {
		parts = append(parts, "What was found: "+ended(it.Why))
	}
	if it.Wait != "" {
		parts = append(parts, "If it is left: "+ended(it.Wait))
	}
	if it.Category != "" {
		parts = append(parts, "Regulation: "+ended(it.Category))
	}
	parts = append(parts, "If you decline, the fault stays on the car. Do not drive the car until it is put right; the law may forbid driving it.")
	return strings.Join(parts, " ")
}

// ended ends a text with a full stop.
func ended(text string) string {
	text = shorten(strings.TrimSpace(text))
	if text == "" || strings.HasSuffix(text, ".") || strings.HasSuffix(text, "!") || strings.HasSuffix(text, "?") || strings.HasSuffix(text, "…") {
		return text
	}
	return text + "."
}

// shorten cuts a text at a word so that it is no longer than an estimate takes.
func shorten(text string) string {
	if len(text) <= longest {
		return text
	}
	cut := longest - len("…")
	for cut > 0 && !utf8.RuneStart(text[cut]) {
		cut--
	}
	if i := strings.LastIndexByte(text[:cut], ' '); i > longest/2 {
		cut = i
	}
	return strings.TrimRight(text[:cut], " ,;") + "…"
}
