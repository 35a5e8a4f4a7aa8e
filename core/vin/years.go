package vin

import "strings"

// yearCodes are the characters of place 10 in the order of the years from 1980,
// repeating every 30 years: no I, O, Q, U, Z and no 0.
// Source: 49 CFR 565.15(d)(1) and its earlier editions.
const yearCodes = "ABCDEFGHJKLMNPRSTVWXY123456789"

// Years gives the model years that place 10 may mean, earliest first. A North
// American number tells its 30-year cycle by place 7: a digit for 1980 to 2009,
// a letter for 2010 to 2039 (49 CFR 565.15(b), cars and light trucks up to
// 10 000 lb). Otherwise both cycles are given, for the maker is free there. No
// years come back when place 10 is no year code.
func (v VIN) Years() []int {
	if len(v) != Length {
		return nil
	}
	i := strings.IndexByte(yearCodes, v[9])
	if i < 0 {
		return nil
	}
	first, second := 1980+i, 2010+i
	switch {
	case !v.northAmerican():
		return []int{first, second}
	case v[6] >= '0' && v[6] <= '9':
		return []int{first}
	default:
		return []int{second}
	}
}
