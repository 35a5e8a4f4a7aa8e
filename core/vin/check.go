package vin

// Check is the outcome of the check-digit sum.
type Check struct {
	Digit   string // what place 9 should hold: "0" to "9" or "X"
	OK      bool   // place 9 holds it
	Binding bool   // the number is North American, so that a mismatch is an error and not only a hint
}

// weights by place; place 9 is the check digit and counts nothing.
// Source: 49 CFR 565.15(c)(2).
var weights = [Length]int{8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2}

// letterValues holds the number that stands for each letter from A to Z;
// 0 marks I, O and Q, which are not used. Source: 49 CFR 565.15(c)(1).
var letterValues = [26]int{1, 2, 3, 4, 5, 6, 7, 8, 0, 1, 2, 3, 4, 5, 0, 7, 0, 9, 2, 3, 4, 5, 6, 7, 8, 9}

func value(c byte) int {
	if c >= 'A' && c <= 'Z' {
		return letterValues[c-'A']
	}
	return int(c - '0')
}

// sum is the weighted sum of a well-formed number.
func sum(s string) int {
	total := 0
	for i := range Length {
		total += weights[i] * value(s[i])
	}
	return total
}

// CheckDigit gives the character that place 9 should hold: the weighted sum's
// remainder on division by 11, with X for 10; 0 when v is not a VIN.
// Source: 49 CFR 565.15(c)(3) and (4).
func CheckDigit(v VIN) byte {
	if len(v) != Length {
		return 0
	}
	return digit(sum(string(v)))
}

func digit(total int) byte {
	return "0123456789X"[total%11]
}

// Check compares place 9 with the check digit. Elsewhere than in North America
// the place is free for the maker, so that a mismatch there proves nothing.
func (v VIN) Check() Check {
	if len(v) != Length {
		return Check{}
	}
	d := CheckDigit(v)
	return Check{Digit: string(rune(d)), OK: v[8] == d, Binding: v.northAmerican()}
}

// northAmerican says whether the first two characters were assigned in North
// America: 1 to 5, and 7F to 70 in the order A-Z, 1-9, 0 (7A to 7E belong to
// Oceania). Source: ISO 3780 regions, from memory.
func (v VIN) northAmerican() bool {
	if len(v) != Length {
		return false
	}
	switch {
	case v[0] >= '1' && v[0] <= '5':
		return true
	case v[0] == '7':
		return v[1] < 'A' || v[1] > 'E'
	}
	return false
}

// Market guesses the rules the car was built for: "us" for a North American
// number, else "eu". It is a guess for a form's default, not a fact: a car may
// have been built elsewhere for that market.
func (v VIN) Market() string {
	if v.northAmerican() {
		return "us"
	}
	return "eu"
}
