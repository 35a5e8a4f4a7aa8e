package web

import (
	"net/url"
	"strconv"
	"strings"

	"witnessmark/core/point"
)

// answer reads a typed state into the form: by its number, its first letters, or for a level a share of the band. It
// gives what is wrong, or nothing.
func (e entry) answer(at, text string, out url.Values) string {
	p := e.step.Point
	now, _ := currentAt(e.step, at)
	state := fieldName("state", p.ID, at)
	if text == e.textOf(now) && now.Skipped == "" {
		out.Set(state, now.State)
		return ""
	}
	if text == "" {
		out.Set(state, "")
		return ""
	}
	if id := pickState(p, text); id != "" {
		out.Set(state, id)
		return ""
	}
	if p.Kind == point.Level && strings.ContainsAny(text, ".,/%") {
		out.Set(state, "")
		out.Set(fieldName("num", p.ID, at, "fraction"), text)
		return ""
	}
	return "“" + clip(text) + "” is none of the answers. Type the answer's number, 1 to " + strconv.Itoa(len(p.States)) + ", or its first letters."
}

// pickState finds the one state that a text names: its number, alone or before its words, or the beginning of its
// words or id. A beginning that two states share names none.
func pickState(p *point.Point, text string) string {
	for _, st := range p.States {
		if strings.EqualFold(st.ID, text) || strings.EqualFold(st.Say, text) {
			return st.ID
		}
	}
	digits, words, _ := strings.Cut(text, " ")
	if n, err := strconv.Atoi(digits); err == nil {
		if n >= 1 && n <= len(p.States) && (words == "" || beginsWith(p.States[n-1].Say, words)) {
			return p.States[n-1].ID
		}
		return ""
	}
	found := ""
	for _, st := range p.States {
		if !beginsWith(st.Say, text) && !beginsWith(st.ID, text) {
			continue
		}
		if found != "" {
			return ""
		}
		found = st.ID
	}
	return found
}

// beginsWith reports whether s begins with head, whatever the case of the letters.
func beginsWith(s, head string) bool {
	head = strings.TrimSpace(head)
	return head != "" && len(s) >= len(head) && strings.EqualFold(s[:len(head)], head)
}

// clip shortens a text that is quoted back.
func clip(s string) string {
	if r := []rune(s); len(r) > 24 {
		return string(r[:24]) + "…"
	}
	return s
}
