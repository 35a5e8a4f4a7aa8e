package web

import (
	"bytes"
	"io"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"witnessmark/core/point"
	"witnessmark/shop"
)

// penSheet is a round laid out for writing on paper.
type penSheet struct {
	View     *shop.RoundView
	Base     string
	Depth    string
	Stations []penStation
	HasPDF   bool
}

// penStation is a station of the sheet.
type penStation struct {
	Name  string
	Lines []penLine
}

// penLine is a point of the sheet: its answers to tick or the places to write numbers in.
type penLine struct {
	Name     string
	Cautions []string
	States   []string
	Boxes    []penBox
	Shared   []penBox
}

// penBox is a place to write, with what stood there the last time.
type penBox struct{ Label, Unit, Last string }

// sheet lays the round out in walking order.
func (s *server) sheet(v *shop.RoundView) penSheet {
	out := penSheet{View: v, Base: roundPath(v.Round.ID), Depth: depthWords(v.Round.Depth), HasPDF: s.cfg.SheetPDF != nil}
	var said []string // cautions of the station so far: each is said where it first matters
	for i, st := range v.Steps {
		if i == 0 || v.Steps[i-1].Point.Station != st.Point.Station {
			out.Stations = append(out.Stations, penStation{Name: stationWords(st.Point.Station)})
			said = nil
		}
		at := &out.Stations[len(out.Stations)-1]
		line := s.penLine(v, st)
		for _, c := range st.Cautions {
			if !slices.Contains(said, c) {
				line.Cautions = append(line.Cautions, c)
				said = append(said, c)
			}
		}
		at.Lines = append(at.Lines, line)
	}
	return out
}

// penLine lays one point out.
func (s *server) penLine(v *shop.RoundView, st shop.StepView) penLine {
	p := st.Point
	line := penLine{Name: p.Name}
	for i, state := range p.States {
		line.States = append(line.States, strconv.Itoa(i+1)+" "+state.Say)
	}
	for _, at := range st.Slots {
		box := penBox{Label: p.Where(at, v.Facets)}
		if last, ok := st.Last[at]; ok {
			box.Last = s.shop.Describe(v.Car, p, last.Reading)
		}
		if p.Kind == point.Measure {
			for _, val := range ownValues(p) {
				box.Unit = s.shop.UnitLabel(v.Car, val.Name, p)
				line.Boxes = append(line.Boxes, box)
				box.Label, box.Last = "", ""
			}
			continue
		}
		line.Boxes = append(line.Boxes, box)
		if p.Kind == point.State || p.Kind == point.Level {
			for _, val := range p.Values {
				if !val.Companion {
					line.Boxes = append(line.Boxes, penBox{Unit: s.shop.UnitLabel(v.Car, val.Name, p)})
				}
			}
		}
	}
	for _, val := range p.Values {
		if val.Companion {
			line.Shared = append(line.Shared, penBox{Label: val.Label, Unit: s.shop.UnitLabel(v.Car, val.Name, p)})
		}
	}
	return line
}

// sendPDF writes a file in memory first, so that a failure gives an error page and not half a file.
func sendPDF(w http.ResponseWriter, v *shop.RoundView, write func(io.Writer, *shop.RoundView) error) error {
	var b bytes.Buffer
	if err := write(&b, v); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", `inline; filename="sheet-`+safeName(v.Car.Plate)+`.pdf"`)
	w.Header().Set("Content-Length", strconv.Itoa(b.Len()))
	_, _ = b.WriteTo(w) // a reader who has left can't be told
	return nil
}

// safeName keeps letters, digits and hyphens for a file's name.
func safeName(s string) string {
	return strings.Map(func(c rune) rune {
		if c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c == '-' {
			return c
		}
		return -1
	}, s)
}
