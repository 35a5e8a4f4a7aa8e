package money

// Amount is a sum of money in minor units of a currency known from elsewhere: cents, fils, or whole yen.
type Amount int64

// Milli is a quantity in thousandths of its unit.
type Milli int64

// Rate is a share in millionths: 19 % is 190 000.
type Rate int64

// Currency is a currency of ISO 4217 with its minor unit.
type Currency struct {
	Code string `json:"code"`
	// Exponent is how many decimals its minor unit has: 0, 2 or 3.
	Exponent int `json:"exponent"`
}
