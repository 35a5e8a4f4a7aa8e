package main

// wearCmd holds what can be asked about quantities that run down to a limit.
type wearCmd struct {
	Fit      wearFitCmd      `cmd:"" help:"Fit a line to every group of readings, and how the lines differ (linear mixed model)."`
	Forecast wearForecastCmd `cmd:"" help:"Forecast when each running part of a fleet reaches its limit (CSV of quantiles)."`
}
