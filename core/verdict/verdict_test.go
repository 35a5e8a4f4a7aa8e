package verdict

import "testing"

func TestOrder(t *testing.T) {
	for i, v := range Scale {
		if v.Place() != i {
			t.Errorf("%s has place %d, want %d", v, v.Place(), i)
		}
		for k, w := range Scale {
			if v.Worse(w) != (i > k) || v.AtLeast(w) != Scale[max(i, k)] {
				t.Errorf("%s against %s: worse %v, at least %s", v, w, v.Worse(w), v.AtLeast(w))
			}
		}
		if Unjudged.Worse(v) || !v.Worse(Unjudged) {
			t.Errorf("unjudged is not less than %s", v)
		}
	}
	if !(Watch.Urgency() > Unjudged.Urgency() && Unjudged.Urgency() > Sound.Urgency()) {
		t.Error("unjudged must be read before sound and after watch")
	}
}

func TestParse(t *testing.T) {
	for _, s := range []string{"sound", "watch", "due", "overdue", "unsafe", "unjudged"} {
		if v, err := Parse(s); err != nil || string(v) != s {
			t.Errorf("Parse(%q) = %q, %v", s, v, err)
		}
	}
	for _, s := range []string{"", "Sound", "safe", "due "} {
		if v, err := Parse(s); err == nil {
			t.Errorf("Parse(%q) = %q without an error", s, v)
		}
	}
}
