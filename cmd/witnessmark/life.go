package main

// lifeCmd groups what is computed of censored lives; docs/formats/life.md describes its files.
type lifeCmd struct {
	Fit       lifeFitCmd       `cmd:"" help:"Fit a model to looks (CSV) by maximum likelihood."`
	Posterior lifePosteriorCmd `cmd:"" help:"Join observations with a prior (JSON) and give the interval that they allow."`
}
