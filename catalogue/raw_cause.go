package catalogue

import "go.yaml.in/yaml/v4"

type rawSign struct {
	ID       string             `yaml:"id"`
	Name     string             `yaml:"name"`
	Point    string             `yaml:"point"`
	States   []string           `yaml:"states"`
	Faint    map[string]float64 `yaml:"faint"`
	Open     []string           `yaml:"open"`
	Verdict  string             `yaml:"verdict"`
	Side     string             `yaml:"side"`
	Value    string             `yaml:"value"`
	Least    *float64           `yaml:"least"`
	Most     *float64           `yaml:"most"`
	Pair     string             `yaml:"pair"`
	Axle     string             `yaml:"axle"`
	Sides    string             `yaml:"sides"`
	Every    bool               `yaml:"every"`
	Told     []string           `yaml:"told"`
	Leak     *float64           `yaml:"leak"`
	Check    string             `yaml:"check"`
	Minutes  float64            `yaml:"minutes"`
	Money    float64            `yaml:"money"`
	Cautions []string           `yaml:"cautions"`
	When     rawWhen            `yaml:"when"`
	Source   *rawSource         `yaml:"source"`
}

type rawCause struct {
	ID       string     `yaml:"id"`
	Name     string     `yaml:"name"`
	Says     string     `yaml:"says"`
	Prior    float64    `yaml:"prior"`
	When     rawWhen    `yaml:"when"`
	Jobs     []string   `yaml:"jobs"`
	Minutes  float64    `yaml:"minutes"`
	Money    float64    `yaml:"money"`
	Explains yaml.Node  `yaml:"explains"`
	Unless   []string   `yaml:"unless"`
	Cautions []string   `yaml:"cautions"`
	Source   *rawSource `yaml:"source"`
}

type rawComplaint struct {
	ID     string   `yaml:"id"`
	Name   string   `yaml:"name"`
	Asks   string   `yaml:"asks"`
	Raised []string `yaml:"raised"`
	Also   []string `yaml:"also"`
	Causes []string `yaml:"causes"`
}

type rawQuiet struct {
	ID      string   `yaml:"id"`
	Group   string   `yaml:"group"`
	Points  []string `yaml:"points"`
	State   string   `yaml:"state"`
	Because string   `yaml:"because"`
}

type rawTimes struct {
	Cause string  `yaml:"cause"`
	Times float64 `yaml:"times"`
}
