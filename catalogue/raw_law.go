package catalogue

type rawLaw struct {
	ID      string       `yaml:"id"`
	Item    string       `yaml:"item"`
	Unit    string       `yaml:"unit"`
	By      string       `yaml:"by"`
	Cap     *rawSchedule `yaml:"cap"`
	Step    float64      `yaml:"step"`
	Weight  float64      `yaml:"weight"`
	Risk    float64      `yaml:"risk"`
	Planned float64      `yaml:"planned"`
	Failed  float64      `yaml:"failed"`
	Source  rawSource    `yaml:"source"`
	Life    *at[rawLife] `yaml:"life"`
	Wear    *at[rawWear] `yaml:"wear"`
}

type rawSchedule struct {
	Km     float64 `yaml:"km"`
	Months float64 `yaml:"months"`
}

type rawLife struct {
	Model       string             `yaml:"model"`
	Median      float64            `yaml:"median"`
	Spread      float64            `yaml:"spread"`
	Shape       float64            `yaml:"shape"`
	ShapeSpread float64            `yaml:"shape-spread"`
	Medians     map[string]float64 `yaml:"medians"`
	Turned      []string           `yaml:"turned"`
	Sensitivity float64            `yaml:"sensitivity"`
	Specificity float64            `yaml:"specificity"`
}

type rawWear struct {
	Value   string  `yaml:"value"`
	New     float64 `yaml:"new"`
	NewSD   float64 `yaml:"new-sd"`
	NewSpec string  `yaml:"new-spec"`
	Rate    float64 `yaml:"rate"`
	Spread  float64 `yaml:"spread"`
	Noise   float64 `yaml:"noise"`
	Step    float64 `yaml:"step"`
	Rises   bool    `yaml:"rises"`
	Limit   float64 `yaml:"limit"`
}

type rawRisk struct {
	ID     string    `yaml:"id"`
	Accept float64   `yaml:"accept"`
	Source rawSource `yaml:"source"`
}
