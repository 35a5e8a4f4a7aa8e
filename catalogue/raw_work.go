package catalogue

import "go.yaml.in/yaml/v4"

type rawSetup struct {
	ID          string   `yaml:"id"`
	Name        string   `yaml:"name"`
	Does        string   `yaml:"does"`
	Undo        string   `yaml:"undo"`
	Minutes     int      `yaml:"minutes"`
	UndoMinutes int      `yaml:"undo-minutes"`
	Order       int      `yaml:"order"`
	Axle        string   `yaml:"axle"`
	Under       []string `yaml:"under"`
	Last        bool     `yaml:"last"`
	Fills       string   `yaml:"fills"`
	Cautions    []string `yaml:"cautions"`

	Parts   []at[rawWorkPart]   `yaml:"parts"`
	Fields  []at[rawWorkField]  `yaml:"fields"`
	Follows []at[rawWorkFollow] `yaml:"follows"`
}

type rawPart struct {
	ID      string   `yaml:"id"`
	Name    string   `yaml:"name"`
	Unit    string   `yaml:"unit"`
	Fluid   bool     `yaml:"fluid"`
	Sundry  bool     `yaml:"sundry"`
	For     []string `yaml:"for"`
	Circuit string   `yaml:"circuit"`
	Thins   bool     `yaml:"thins"`
}

type rawWork struct {
	ID        string              `yaml:"id"`
	Setups    []string            `yaml:"setups"`
	Per       string              `yaml:"per"`
	Steps     []at[rawWorkStep]   `yaml:"steps"`
	Parts     []at[rawWorkPart]   `yaml:"parts"`
	Fields    []at[rawWorkField]  `yaml:"fields"`
	Follows   []at[rawWorkFollow] `yaml:"follows"`
	Baselines []string            `yaml:"baselines"`
}

type rawWorkStep struct {
	Say      string   `yaml:"say"`
	Minutes  int      `yaml:"minutes"`
	Cautions []string `yaml:"cautions"`
	In       string   `yaml:"in"`
	When     rawWhen  `yaml:"when"`
}

type rawWorkPart struct {
	Part    string    `yaml:"part"`
	Amount  yaml.Node `yaml:"amount"` // read as written: a third decimal may not get lost in a float
	Maybe   bool      `yaml:"maybe"`
	Circuit string    `yaml:"circuit"`
	When    rawWhen   `yaml:"when"`
}

type rawWorkField struct {
	Name string `yaml:"name"`
	Spec string `yaml:"spec"`
	Unit string `yaml:"unit"`
}

type rawWorkFollow struct {
	Say    string `yaml:"say"`
	Point  string `yaml:"point"`
	Days   int    `yaml:"days"`
	Km     int    `yaml:"km"`
	Source string `yaml:"source"`
}
