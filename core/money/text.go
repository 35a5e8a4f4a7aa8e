package money

import (
	"fmt"
	"strconv"
	"strings"
)

// Format writes an amount for people, with its currency: "1 234.50 EUR". Thousands are parted by a narrow space that does not break.
func Format(c Currency, a Amount) string {
	text := decimal(int64(a), c.Exponent)
	whole, rest, _ := strings.Cut(strings.TrimPrefix(text, "-"), ".")
	var b strings.Builder
	if a < 0 {
		b.WriteString("\u2212")
	}
	for i, digit := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteString("\u202f")
		}
		b.WriteRune(digit)
	}
	if c.Exponent > 0 {
		b.WriteString("." + rest)
	}
	return b.String() + "\u00a0" + c.Code
}

// Plain writes an amount for machines: "1234.50".
func Plain(c Currency, a Amount) string { return decimal(int64(a), c.Exponent) }

// Parse reads an amount as it is typed: digits with a point or a comma before the decimals, spaces or apostrophes between thousands.
// More decimals than the currency has are refused, not rounded.
func Parse(c Currency, text string) (Amount, error) {
	x, err := parseDecimal(text, c.Exponent)
	if err != nil {
		return 0, fmt.Errorf("%q is no amount in %s: %w", text, c.Code, err)
	}
	if x > int64(Most) || x < -int64(Most) {
		return 0, ErrTooLarge
	}
	return Amount(x), nil
}

// String writes a quantity without needless zeros: "1.5".
func (m Milli) String() string { return trimmed(int64(m), 3) }

// ParseMilli reads a quantity with at most three decimals.
func ParseMilli(text string) (Milli, error) {
	x, err := parseDecimal(text, 3)
	if err != nil {
		return 0, fmt.Errorf("%q is no quantity: %w", text, err)
	}
	return Milli(x), nil
}

// Percent writes a rate as "19 %".
func (r Rate) Percent() string { return trimmed(int64(r), 4) + "\u00a0%" }

// ParsePercent reads a rate in percent with at most four decimals; the sign behind it may be left out.
func ParsePercent(text string) (Rate, error) {
	x, err := parseDecimal(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%")), 4)
	if err != nil {
		return 0, fmt.Errorf("%q is no percentage: %w", text, err)
	}
	return Rate(x), nil
}

// decimal writes x / 10^exponent in full.
func decimal(x int64, exponent int) string {
	digits := strconv.FormatUint(magnitude(x), 10)
	if exponent > 0 {
		if pad := exponent + 1 - len(digits); pad > 0 {
			digits = strings.Repeat("0", pad) + digits
		}
		digits = digits[:len(digits)-exponent] + "." + digits[len(digits)-exponent:]
	}
	if x < 0 {
		return "-" + digits
	}
	return digits
}

func trimmed(x int64, exponent int) string {
	return strings.TrimSuffix(strings.TrimRight(decimal(x, exponent), "0"), ".")
}

// parseDecimal reads a decimal number as x / 10^exponent, exactly. What stands between thousands must stand at every third digit.
func parseDecimal(text string, exponent int) (int64, error) {
	t := strings.TrimSpace(text)
	sign := ""
	if rest, ok := cutSign(t); ok {
		sign, t = "-", rest
	}
	whole, decimals := t, ""
	if i := strings.LastIndexAny(t, ".,"); i >= 0 {
		whole, decimals = t[:i], t[i+1:]
		if decimals == "" {
			return 0, fmt.Errorf("decimals are missing behind the %q", t[i:])
		}
	}
	whole, err := joined(whole)
	if err != nil {
		return 0, err
	}
	if len(decimals) > exponent {
		return 0, fmt.Errorf("expected at most %d decimals", exponent)
	}
	digits := whole + decimals + strings.Repeat("0", exponent-len(decimals))
	for _, r := range digits {
		if r < '0' || r > '9' {
			return 0, fmt.Errorf("%q is no digit", r)
		}
	}
	if len(digits) > 18+exponent {
		return 0, ErrTooLarge
	}
	x, err := strconv.ParseInt(sign+digits, 10, 64)
	if err != nil {
		return 0, ErrTooLarge
	}
	return x, nil
}

func cutSign(t string) (string, bool) {
	if rest, ok := strings.CutPrefix(t, "-"); ok {
		return rest, true
	}
	return strings.CutPrefix(t, "\u2212")
}

// joined takes the spaces and apostrophes from between thousands.
func joined(whole string) (string, error) {
	groups := strings.FieldsFunc(whole, func(r rune) bool { return strings.ContainsRune(" '\u00a0\u202f\u2019", r) })
	if len(groups) == 0 {
		return "", fmt.Errorf("expected digits")
	}
	for _, g := range groups[1:] {
		if len(g) != 3 {
			return "", fmt.Errorf("expected three digits in a group, found %q", g)
		}
	}
	return strings.Join(groups, ""), nil
}
