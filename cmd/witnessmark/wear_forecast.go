package main

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"witnessmark/core/wear"
)

// wearForecastCmd forecasts when each running part of a fleet reaches its limit.
type wearForecastCmd struct {
	Dir   string   `arg:"" help:"Folder with readings.csv, installs.csv, tasks.csv and meta.json."`
	Limit *float64 `help:"Limit in mm in place of that of meta.json." placeholder:"MM"`
}

// forecastQuantiles are the columns of the answer as they are printed.
func forecastQuantiles() []string {
	names := []string{"0.025"}
	for i := 1; i <= 19; i++ {
		names = append(names, strconv.FormatFloat(float64(i)/20, 'f', 2, 64))
	}
	return append(names, "0.975")
}

// Run learns the class from all parts, then writes one row per task; nothing is written before all is worked out.
func (c *wearForecastCmd) Run(con console) error {
	fleet, err := readFleet(c.Dir)
	if err != nil {
		return err
	}
	if c.Limit != nil {
		if math.IsNaN(*c.Limit) || math.IsInf(*c.Limit, 0) {
			return usageError{fmt.Sprintf("--limit is %v, expected a number of mm such as 3", *c.Limit)}
		}
		fleet.limit = c.Limit
	}
	if fleet.limit == nil {
		return fmt.Errorf("%s: limit_mm is missing, expected the limit in mm such as 3, here or by --limit", fleet.meta)
	}
	class, _, err := wear.FitClass(fleet.lives, wear.Weak(fleet.lives, fleet.step))
	if err != nil && !errors.Is(err, wear.ErrNoData) {
		return fmt.Errorf("%s: %w", c.Dir, err)
	}
	if errors.Is(err, wear.ErrNoData) && len(fleet.tasks) > 0 {
		return fmt.Errorf("%s: no readings, expected at least one", fleet.readings)
	}
	rows := make([][]string, 0, len(fleet.tasks))
	for _, t := range fleet.tasks {
		row, err := fleet.forecast(class, t)
		if err != nil {
			return fmt.Errorf("%s: line %d: %w", fleet.tasksFile, t.line, err)
		}
		rows = append(rows, row)
	}
	return writeForecasts(con.out, rows)
}

// forecast is the row of one task: unit, life and the odometer at each quantile.
func (f *fleet) forecast(class wear.Class, t fleetTask) ([]string, error) {
	at := f.installed[t.key]
	lives, running := f.known(t)
	fc, err := class.Forecast(lives, running, t.now-at, *f.limit)
	if err != nil {
		return nil, err
	}
	row := []string{t.key.unit, t.key.life}
	for _, name := range forecastQuantiles() {
		q, _ := strconv.ParseFloat(name, 64)
		km := at + fc.Quantile(q)
		if math.IsInf(km, 1) {
			row = append(row, "inf")
			continue
		}
		row = append(row, strconv.FormatFloat(km, 'f', 1, 64))
	}
	return row, nil
}

func writeForecasts(w io.Writer, rows [][]string) error {
	head := []string{"unit", "life"}
	for _, name := range forecastQuantiles() {
		head = append(head, "q"+name)
	}
	b := bufio.NewWriter(w)
	out := csv.NewWriter(b)
	if err := out.Write(head); err != nil {
		return err
	}
	if err := out.WriteAll(rows); err != nil {
		return err
	}
	return b.Flush()
}
