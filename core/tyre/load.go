package tyre

import (
	"fmt"
	"strconv"
	"strings"
)

// loadKg is the load in kg that one tyre may carry, by load index from 60 on.
// Source: UN R30 Annex 4 / ISO 4000-1, as printed in secondary copies.
var loadKg = [...]float64{
	250, 257, 265, 272, 280, 290, 300, 307, 315, 325, 335, 345, 355, 365, 375, 387, 400, 412, 425, 437, 450, 462, 475,
	487, 500, 515, 530, 545, 560, 580, 600, 615, 630, 650, 670, 690, 710, 730, 750, 775, 800, 825, 850, 875, 900, 925,
	950, 975, 1000, 1030, 1060, 1090, 1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360, 1400,
}

const firstIndex = 60

// LoadKg gives the load in kg that one tyre of a load index (60 to 120) may carry.
func LoadKg(index int) (float64, error) {
	if index < firstIndex || index >= firstIndex+len(loadKg) {
		return 0, fmt.Errorf("a load index of %d is not in the table for cars; expected %d to %d", index, firstIndex, firstIndex+len(loadKg)-1)
	}
	return loadKg[index-firstIndex], nil
}

// IndexFor gives the least load index whose tyre carries at least a load in kg.
func IndexFor(kg float64) (int, error) {
	if !(kg > 0 && kg <= loadKg[len(loadKg)-1]) {
		return 0, fmt.Errorf("no load index of the table carries %v kg on one tyre; expected up to %v kg", kg, loadKg[len(loadKg)-1])
	}
	for i := range loadKg {
		if loadKg[i] >= kg {
			return firstIndex + i, nil
		}
	}
	return 0, nil // not reached: the last row carries it
}

// speeds are the greatest speeds in km/h by symbol. Source: UN R30 para 2.29 / ISO 4000-1. H stands between U and V.
var speeds = [...]struct {
	symbol byte
	kmh    float64
}{
	{'L', 120}, {'M', 130}, {'N', 140}, {'P', 150}, {'Q', 160}, {'R', 170}, {'S', 180}, {'T', 190}, {'U', 200},
	{'H', 210}, {'V', 240}, {'W', 270}, {'Y', 300},
}

// SpeedKmh gives the greatest speed in km/h of a speed symbol from L to Y. H is 210: it does not stand in the order of
// the alphabet.
func SpeedKmh(symbol byte) (float64, error) {
	for i := range speeds {
		if speeds[i].symbol == symbol {
			return speeds[i].kmh, nil
		}
	}
	return 0, fmt.Errorf("%q is no speed symbol for cars; expected one of L M N P Q R S T U H V W Y", string(rune(symbol)))
}

// SymbolFor gives the slowest symbol whose tyre may run at a speed in km/h (up to 300).
func SymbolFor(kmh float64) (byte, error) {
	for i := range speeds {
		if kmh > 0 && speeds[i].kmh >= kmh {
			return speeds[i].symbol, nil
		}
	}
	return 0, fmt.Errorf("no speed symbol covers %v km/h; expected above 0 and up to 300", kmh)
}

// Service is a service description such as 91V: load index and speed symbol.
type Service struct {
	Index  int
	Symbol byte
}

// ParseService reads a service description: "91V", "91 v", "(91V)". Dual descriptions (104/102R) are refused.
func ParseService(s string) (Service, error) {
	text := strings.ToUpper(strings.Trim(strings.TrimSpace(s), "()"))
	bad := fmt.Errorf("%q is no service description; it is load index and speed symbol, such as 91V", s)
	if len(text) < 3 || len(text) > 6 {
		return Service{}, bad
	}
	index, err := strconv.Atoi(strings.TrimSpace(text[:len(text)-1]))
	if err != nil {
		return Service{}, bad
	}
	v := Service{index, text[len(text)-1]}
	if _, err := LoadKg(v.Index); err != nil {
		return Service{}, err
	}
	if _, err := SpeedKmh(v.Symbol); err != nil {
		return Service{}, err
	}
	return v, nil
}

// String writes the description as ParseService reads it.
func (s Service) String() string { return strconv.Itoa(s.Index) + string(rune(s.Symbol)) }

// LoadAt gives the load in kg that one tyre may carry at a speed in km/h: the index's whole load up to 210 (V) or 240
// (W), from there falling on a line to 91 % at 240 (V) and 85 % at 270 (W). Domain: up to the symbol's speed; Y is not
// covered above 270. Source: chassis handbook text on the ETRTO rule.
func (s Service) LoadAt(kmh float64) (float64, error) {
	kg, err := LoadKg(s.Index)
	if err != nil {
		return 0, err
	}
	top, err := SpeedKmh(s.Symbol)
	if err != nil {
		return 0, err
	}
	if !(kmh >= 0 && kmh <= top) {
		return 0, fmt.Errorf("%v km/h is above the %v km/h of symbol %c", kmh, top, s.Symbol)
	}
	switch {
	case s.Symbol == 'V' && kmh > 210:
		return kg * (1 - 0.09*(kmh-210)/30), nil
	case s.Symbol == 'W' && kmh > 240:
		return kg * (1 - 0.15*(kmh-240)/30), nil
	case s.Symbol == 'Y' && kmh > 270:
		return 0, fmt.Errorf("the load of symbol Y above 270 km/h is not in the table at hand")
	}
	return kg, nil
}

// Fit compares a tyre with a car's need.
type Fit struct {
	Service  Service
	LoadKg   float64 // one tyre's load at the car's top speed
	NeedKg   float64 // half the axle's load
	Kmh      float64 // the tyre's greatest speed
	LoadOK   bool
	SpeedOK  bool
	TopSpeed float64
}

// Fits compares a service description with an axle load in kg and a car's top speed in km/h. Winter tyres of symbol Q
// and above may be slower than the car when the driver is warned of it (UN R30; many countries' rule): winter says so.
func Fits(s Service, axleKg, topKmh float64, winter bool) (Fit, error) {
	if !(axleKg > 0 && axleKg <= 5000) {
		return Fit{}, fmt.Errorf("an axle load of %v kg is none of a car; expected up to 5000 kg", axleKg)
	}
	if !(topKmh > 0 && topKmh <= 450) {
		return Fit{}, fmt.Errorf("a top speed of %v km/h is none of a car; expected up to 450 km/h", topKmh)
	}
	kmh, err := SpeedKmh(s.Symbol)
	if err != nil {
		return Fit{}, err
	}
	kg, err := s.LoadAt(min(topKmh, kmh))
	if err != nil {
		return Fit{}, err
	}
	return Fit{
		Service: s, LoadKg: kg, NeedKg: axleKg / 2, Kmh: kmh, TopSpeed: topKmh,
		LoadOK: kg >= axleKg/2, SpeedOK: kmh >= topKmh || winter && kmh >= 160,
	}, nil
}
