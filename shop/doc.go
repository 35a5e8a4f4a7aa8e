// Package shop is what the workshop does: know its cars, take a round, judge it, tell the owner. It declares the
// interfaces that it needs of a store and of a place for photos; transactions live here, and the clock is given.
package shop
