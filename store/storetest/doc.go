// Package storetest is the conformance suite of shop.Store: what every engine must do, whatever it is made of.
package storetest
