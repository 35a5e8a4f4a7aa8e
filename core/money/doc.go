// Package money computes with amounts in whole minor units of a currency: never in floating point, never beyond what 64 bits hold.
package money
