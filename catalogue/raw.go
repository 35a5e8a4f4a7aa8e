package catalogue

import (
	"go.yaml.in/yaml/v4"

	"witnessmark/core/facet"
)

// at keeps the line that a value stands on.
type at[T any] struct {
	V    T
	Line int
}

// UnmarshalYAML decodes the value and keeps its line.
func (a *at[T]) UnmarshalYAML(n *yaml.Node) error {
	a.Line = n.Line
	return n.Decode(&a.V)
}

type rawPoint struct {
	ID             string          `yaml:"id"`
	Name           string          `yaml:"name"`
	OwnerName      string          `yaml:"owner-name"`
	Station        string          `yaml:"station"`
	Group          string          `yaml:"group"`
	Depths         []string        `yaml:"depths"`
	Ask            string          `yaml:"ask"`
	Method         string          `yaml:"method"`
	DrivewayMethod string          `yaml:"driveway-method"`
	Tool           string          `yaml:"tool"`
	Kind           string          `yaml:"kind"`
	Consequence    string          `yaml:"consequence"`
	Order          int             `yaml:"order"`
	Applies        rawWhen         `yaml:"applies"`
	Positions      []yaml.Node     `yaml:"positions"`
	Places         []string        `yaml:"places"`
	AlsoAt         []string        `yaml:"also-at"`
	Count          string          `yaml:"count"`
	States         []at[rawState]  `yaml:"states"`
	Values         []at[rawValue]  `yaml:"values"`
	Pattern        string          `yaml:"pattern"`
	Derive         string          `yaml:"derive"`
	Limits         []at[rawLimit]  `yaml:"limits"`
	Renewal        *at[rawRenewal] `yaml:"renewal"`
	Pairs          []at[rawPair]   `yaml:"pairs"`
	Rules          []at[rawRule]   `yaml:"rules"`
	Jobs           []string        `yaml:"jobs"`
	Cautions       []string        `yaml:"cautions"`
	Recheck        string          `yaml:"recheck"`
	Covers         []string        `yaml:"covers"`
	Source         rawSource       `yaml:"source"`
	Means          string          `yaml:"means"`
	Wait           string          `yaml:"wait"`
}

type rawGroup struct {
	At   []string `yaml:"at"`
	When rawWhen  `yaml:"when"`
}

type rawState struct {
	ID       string            `yaml:"id"`
	Say      string            `yaml:"say"`
	Like     string            `yaml:"like"`
	Verdict  string            `yaml:"verdict"`
	Why      string            `yaml:"why"`
	Means    string            `yaml:"means"`
	Wait     string            `yaml:"wait"`
	Jobs     []string          `yaml:"jobs"`
	Cautions []string          `yaml:"cautions"`
	Category map[string]string `yaml:"category"`
	Item     string            `yaml:"item"`
	Source   *rawSource        `yaml:"source"`
	From     *float64          `yaml:"from"`
	Below    *float64          `yaml:"below"`
}

type rawValue struct {
	Name      string   `yaml:"name"`
	Label     string   `yaml:"label"`
	Min       *float64 `yaml:"min"`
	Max       *float64 `yaml:"max"`
	Step      float64  `yaml:"step"`
	Companion bool     `yaml:"companion"`
	Optional  bool     `yaml:"optional"`
	Remember  string   `yaml:"remember"`
}

type rawLimit struct {
	Is       string            `yaml:"is"`
	Of       string            `yaml:"of"`
	Value    *float64          `yaml:"value"`
	Spec     string            `yaml:"spec"`
	Table    string            `yaml:"table"`
	By       string            `yaml:"by"`
	At       []string          `yaml:"at"`
	Plus     float64           `yaml:"plus"`
	Times    float64           `yaml:"times"`
	When     rawWhen           `yaml:"when"`
	Verdict  string            `yaml:"verdict"`
	Why      string            `yaml:"why"`
	Jobs     []string          `yaml:"jobs"`
	Source   rawSource         `yaml:"source"`
	Category map[string]string `yaml:"category"`
	Item     string            `yaml:"item"`
	Optional bool              `yaml:"optional"`
}

type rawRenewal struct {
	Item    string    `yaml:"item"`
	Months  float64   `yaml:"months"`
	Km      float64   `yaml:"km"`
	Verdict string    `yaml:"verdict"`
	Source  rawSource `yaml:"source"`
	Jobs    []string  `yaml:"jobs"`
}

type rawPair struct {
	Between string    `yaml:"between"`
	Beyond  float64   `yaml:"beyond"`
	Verdict string    `yaml:"verdict"`
	Why     string    `yaml:"why"`
	Jobs    []string  `yaml:"jobs"`
	Source  rawSource `yaml:"source"`
}

type rawRule struct {
	Rule       string   `yaml:"rule"`
	Worn       float64  `yaml:"worn"`
	Fresh      float64  `yaml:"fresh"`
	LevelPoint string   `yaml:"level-point"`
	State      string   `yaml:"state"`
	Item       string   `yaml:"item"`
	States     []string `yaml:"states"`
}

type rawSource struct {
	From    string `yaml:"from"`
	Section string `yaml:"section"`
	Status  string `yaml:"status"`
}

type rawJob struct {
	ID       string   `yaml:"id"`
	Name     string   `yaml:"name"`
	Does     string   `yaml:"does"`
	Renews   []string `yaml:"renews"`
	Cautions []string `yaml:"cautions"`
	Recheck  string   `yaml:"recheck"`
	When     rawWhen  `yaml:"when"`

	Takes []at[rawTake] `yaml:"takes"`
}

type rawTake struct {
	What string `yaml:"what"`
	Spec string `yaml:"spec"`
	Rule string `yaml:"rule"`
}

type rawCaution struct {
	ID  string `yaml:"id"`
	Say string `yaml:"say"`
}

type rawDocument struct {
	ID    string `yaml:"id"`
	Title string `yaml:"title"`
	Says  string `yaml:"says"`
	Year  int    `yaml:"year"`
}

type rawSpec struct {
	ID      string   `yaml:"id"`
	Name    string   `yaml:"name"`
	Unit    string   `yaml:"unit"`
	By      string   `yaml:"by"`
	Ask     string   `yaml:"ask"`
	Values  []string `yaml:"values"`
	Min     *float64 `yaml:"min"`
	Max     *float64 `yaml:"max"`
	Default *float64 `yaml:"default"`
}

type rawFacet struct {
	ID      string    `yaml:"id"`
	Name    string    `yaml:"name"`
	Ask     string    `yaml:"ask"`
	Values  []string  `yaml:"values"`
	Number  *rawRange `yaml:"number"`
	Default yaml.Node `yaml:"default"`
}

type rawRange struct {
	Min *int `yaml:"min"`
	Max *int `yaml:"max"`
}

type rawTable struct {
	ID      string        `yaml:"id"`
	By      string        `yaml:"by"`
	Gives   string        `yaml:"gives"`
	Between string        `yaml:"between"`
	Rows    [][]yaml.Node `yaml:"rows"`
	Source  rawSource     `yaml:"source"`
}

type rawRegulation struct {
	ID    string    `yaml:"id"`
	Title string    `yaml:"title"`
	Items []rawItem `yaml:"items"`
}

type rawItem struct {
	ID      string `yaml:"id"`
	Title   string `yaml:"title"`
	Applies string `yaml:"applies"`
	Status  string `yaml:"status"`
	Heading bool   `yaml:"heading"`
}

type rawFamily struct {
	ID        string             `yaml:"id"`
	Name      string             `yaml:"name"`
	When      rawWhen            `yaml:"when"`
	WeakSpots []at[rawWeak]      `yaml:"weak-spots"`
	Specs     []at[rawFamilySpc] `yaml:"specs"`
	Facets    map[string]string  `yaml:"facets"`
	Causes    []at[rawTimes]     `yaml:"causes"`
}

type rawWeak struct {
	Point string `yaml:"point"`
	Say   string `yaml:"say"`
	Order int    `yaml:"order"`
}

type rawFamilySpc struct {
	ID     string    `yaml:"id"`
	Value  yaml.Node `yaml:"value"`
	Origin string    `yaml:"origin"`
}

type rawChange struct {
	ID   string    `yaml:"id"`
	Kind string    `yaml:"kind"`
	Set  yaml.Node `yaml:"set"`
}

// rawWhen reads a condition; see docs/formats/catalogue.md.
type rawWhen struct {
	facet.When
	Line int
}
