package shop

import (
	"witnessmark/core/judge"
	"witnessmark/core/verdict"
)

// Report is what an owner is told of one round: everything in plain words, worst first. It is the same for the page
// and the paper.
type Report struct {
	Workshop  string // name of the workshop, may be empty
	Car       CarVersion
	Round     RoundFact
	ByWords   string // who looked, may be empty
	Catalogue string
	// Sections are the findings that ask for something, worst first, findings of one point and verdict together.
	Sections []ReportSection
	// Sound lists what was looked at and found sound, by owner-name, without repeats.
	Sound []string
	// Unjudged lists what was looked at but can't be judged, with the reason.
	Unjudged []ReportLine
	// NotLooked lists what was not looked at, with the reason, points of one reason together.
	NotLooked []ReportLine
	// NotApplicable counts the points that the car does not have.
	NotApplicable  int
	Places, Looked int
	// Ahead tells what is to be expected of what is measured or renewed, what comes first at the top.
	Ahead []AheadLine
	// NextLook says when the car should be looked at again; empty when nothing can be said.
	NextLook string
}

// ReportSection is one thing that the owner should know about.
type ReportSection struct {
	Title    string // "Front brake pads"
	Verdict  verdict.Verdict
	Saw      []string // "Front left, outer: 4.5 mm of lining, limit 3 mm."
	Means    string
	Wait     string
	ToDo     []string // names of jobs
	ByWhen   string
	Limit    string // the limit in words with its source, may be empty
	Category string // "Directive 2014/45/EU 1.1.13: major", may be empty
	Cautions []string
	Recheck  string
	Photos   []string // hashes
	Findings []judge.Finding
}

// ReportLine is a thing with a reason.
type ReportLine struct {
	What   string
	Reason string
}

// Promise is the sentence that stands on every report: it says what was looked at, and never that a car is safe.
const Promise = "This report says what was looked at and what was found on the day. It does not say that a car is safe. Local law, the maker's instructions and a licensed test come before it."
