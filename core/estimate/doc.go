// Package estimate is what work costs and what an owner is asked: lines, taxes, discounts, rounding, totals, and the canonical form
// whose digest proves what was shown.
package estimate
