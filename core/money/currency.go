package money

import "slices"

// exponents are the currencies that can be chosen with the decimals of their minor units (ISO 4217:2015, table A.1, from memory).
var exponents = map[string]int{
	"AED": 2, "AUD": 2, "BGN": 2, "BHD": 3, "BRL": 2, "CAD": 2, "CHF": 2, "CLP": 0, "CNY": 2, "CZK": 2, "DKK": 2, "EGP": 2, "EUR": 2, "GBP": 2,
	"HKD": 2, "HUF": 2, "IDR": 2, "ILS": 2, "INR": 2, "IQD": 3, "ISK": 0, "JOD": 3, "JPY": 0, "KES": 2, "KRW": 0, "KWD": 3, "LYD": 3, "MAD": 2,
	"MXN": 2, "MYR": 2, "NGN": 2, "NOK": 2, "NZD": 2, "OMR": 3, "PHP": 2, "PLN": 2, "PYG": 0, "RON": 2, "RSD": 2, "SAR": 2, "SEK": 2, "SGD": 2,
	"THB": 2, "TND": 3, "TRY": 2, "UAH": 2, "USD": 2, "VND": 0, "ZAR": 2,
}

// Known gives a currency by its code.
func Known(code string) (Currency, bool) {
	e, ok := exponents[code]
	return Currency{Code: code, Exponent: e}, ok
}

// Codes lists the codes of the currencies that are known, in alphabetical order.
func Codes() []string {
	out := make([]string, 0, len(exponents))
	for c := range exponents {
		out = append(out, c)
	}
	slices.Sort(out)
	return out
}
