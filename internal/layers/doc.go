// Package layers holds no program: its tests read the sources of this module and fail when a rule about its shape is
// broken. Each rule stands beside its reason, so that whoever meets it can judge whether it still serves.
package layers
