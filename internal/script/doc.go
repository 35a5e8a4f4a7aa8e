// Package script reads plain-text scenarios that a mechanic can read - a car, what was seen on it, and what the
// judgement must say - and checks them against the core. The language is described in docs/formats/scenario.md.
package script
