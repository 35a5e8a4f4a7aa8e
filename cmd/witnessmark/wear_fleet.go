package main

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"witnessmark/core/wear"
)

// fleetKey names one part: the unit and its life, both as written.
type fleetKey struct{ unit, life string }

// fleetTask is one forecast asked for: a life and the odometer now, with its line.
type fleetTask struct {
	key  fleetKey
	now  float64
	line int
}

// fleet is what the folder of a forecast holds.
type fleet struct {
	limit                     *float64
	step                      float64
	installed                 map[fleetKey]float64
	place                     map[fleetKey]int
	byUnit                    map[string][]int
	lives                     []wear.Life
	tasks                     []fleetTask
	meta, readings, tasksFile string
}

// readFleet reads the four files. Errors name file, line and what was expected there.
func readFleet(dir string) (*fleet, error) {
	f := &fleet{installed: map[fleetKey]float64{}, place: map[fleetKey]int{}, byUnit: map[string][]int{}, meta: filepath.Join(dir, "meta.json"),
		readings: filepath.Join(dir, "readings.csv"), tasksFile: filepath.Join(dir, "tasks.csv")}
	if err := f.readMeta(); err != nil {
		return nil, err
	}
	installs := filepath.Join(dir, "installs.csv")
	if err := readTable(installs, []string{"unit", "life", "km_installed"}, f.install); err != nil {
		return nil, err
	}
	if err := readTable(f.readings, []string{"unit", "life", "km", "thickness_mm"}, f.reading); err != nil {
		return nil, err
	}
	return f, readTable(f.tasksFile, []string{"unit", "life", "km_now"}, f.task)
}

// readMeta takes the limit and the rounding; whatever else stands there is not looked at.
func (f *fleet) readMeta() error {
	text, err := os.ReadFile(f.meta)
	if err != nil {
		return err
	}
	var meta struct {
		Limit *float64 `json:"limit_mm"`
		Step  float64  `json:"rounding_mm"`
	}
	if err := json.Unmarshal(text, &meta); err != nil {
		return fmt.Errorf("%s: line %d: %s, expected an object with the numbers limit_mm and rounding_mm", f.meta, lineOf(text, err), plainJSON(err))
	}
	if meta.Step < 0 || meta.Step > 1000 {
		return fmt.Errorf("%s: rounding_mm is %v, expected the step of the gauge in mm such as 0.5, or 0", f.meta, meta.Step)
	}
	f.limit, f.step = meta.Limit, meta.Step
	return nil
}

func (f *fleet) install(line int, row []string) error {
	km, err := plainNumber("km_installed", row[2])
	if err != nil {
		return err
	}
	k := fleetKey{row[0], row[1]}
	if _, twice := f.installed[k]; twice {
		return fmt.Errorf("unit %q, life %q stands here a second time, expected each life once", k.unit, k.life)
	}
	f.installed[k], f.place[k] = km, len(f.lives)
	f.byUnit[k.unit] = append(f.byUnit[k.unit], len(f.lives))
	f.lives = append(f.lives, wear.Life{Unit: k.unit})
	return nil
}

// since finds the life of a row, and the distance since its fitting.
func (f *fleet) since(row []string, column string) (k fleetKey, x float64, err error) {
	km, err := plainNumber(column, row[2])
	if err != nil {
		return k, 0, err
	}
	k = fleetKey{row[0], row[1]}
	at, ok := f.installed[k]
	if !ok {
		return k, 0, fmt.Errorf("unit %q, life %q is not in installs.csv, expected one that is", k.unit, k.life)
	}
	if km < at {
		return k, 0, fmt.Errorf("%s is %v, expected no less than %v, where the part was fitted", column, km, at)
	}
	return k, km - at, nil
}

func (f *fleet) reading(_ int, row []string) error {
	k, x, err := f.since(row, "km")
	if err != nil {
		return err
	}
	y, err := plainNumber("thickness_mm", row[3])
	if err != nil {
		return err
	}
	l := &f.lives[f.place[k]]
	l.Readings = append(l.Readings, wear.Reading{X: x, Y: y})
	return nil
}

func (f *fleet) task(line int, row []string) error {
	k, x, err := f.since(row, "km_now")
	if err != nil {
		return err
	}
	f.tasks = append(f.tasks, fleetTask{k, x + f.installed[k], line})
	return nil
}

// known are the lives of a task's unit with what was read of the life in hand until then, and its place among them.
func (f *fleet) known(t fleetTask) (lives []wear.Life, running int) {
	for _, i := range f.byUnit[t.key.unit] {
		l := f.lives[i]
		if i == f.place[t.key] {
			running = len(lives)
			past := l
			past.Readings = nil
			for _, r := range l.Readings {
				if r.X <= t.now-f.installed[t.key] {
					past.Readings = append(past.Readings, r)
				}
			}
			l = past
		}
		lives = append(lives, l)
	}
	return lives, running
}

// readTable reads a CSV file with these columns, found by their names in any order, and hands their values on row by row with the line.
func readTable(path string, columns []string, each func(line int, row []string) error) error {
	in, err := os.Open(path)
	if err != nil {
		return err
	}
	defer in.Close()
	want := strings.Join(columns, ",")
	r := csv.NewReader(in)
	r.FieldsPerRecord = -1 // told more plainly below
	head, err := r.Read()
	if err == io.EOF {
		return fmt.Errorf("%s: line 1: nothing there, expected the header %s", path, want)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", path, plainCSV(err))
	}
	at, err := placeColumns(head, columns)
	if err != nil {
		return fmt.Errorf("%s: line 1: %w", path, err)
	}
	for {
		row, err := r.Read()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return fmt.Errorf("%s: %w", path, plainCSV(err))
		}
		line, _ := r.FieldPos(0)
		if len(row) != len(head) {
			err = fmt.Errorf("%d values, expected %d as in the header", len(row), len(head))
		} else if picked := pick(row, at); picked[0] == "" || picked[1] == "" {
			err = errors.New("unit or life is empty, expected their names")
		} else {
			err = each(line, picked)
		}
		if err != nil {
			return fmt.Errorf("%s: line %d: %w", path, line, err)
		}
	}
}

// placeColumns says where each column stands in a header.
func placeColumns(head, columns []string) ([]int, error) {
	at := make([]int, len(columns))
	for i, name := range columns {
		at[i] = -1
		for j, h := range head {
			if strings.TrimSpace(strings.TrimPrefix(h, "\ufeff")) != name {
				continue
			}
			if at[i] >= 0 {
				return nil, fmt.Errorf("the column %q stands there twice, expected %s once each", name, strings.Join(columns, ", "))
			}
			at[i] = j
		}
		if at[i] < 0 {
			return nil, fmt.Errorf("the columns are %s, expected %s: %s is missing", quoted(head), strings.Join(columns, ", "), name)
		}
	}
	return at, nil
}

// pick takes the wanted values of a row.
func pick(row []string, at []int) []string {
	out := make([]string, len(at))
	for i, j := range at {
		out[i] = strings.TrimSpace(row[j])
	}
	return out
}

// lineOf is the line at which JSON text went wrong.
func lineOf(text []byte, err error) int {
	at := int64(0)
	if e := (*json.SyntaxError)(nil); errors.As(err, &e) {
		at = e.Offset
	}
	if e := (*json.UnmarshalTypeError)(nil); errors.As(err, &e) {
		at = e.Offset
	}
	return 1 + strings.Count(string(text[:min(int(at), len(text))]), "\n")
}

// plainJSON words an error of the format.
func plainJSON(err error) string {
	if e := (*json.UnmarshalTypeError)(nil); errors.As(err, &e) && e.Field != "" {
		return fmt.Sprintf("%s is a %s", e.Field, e.Value)
	}
	return err.Error()
}
