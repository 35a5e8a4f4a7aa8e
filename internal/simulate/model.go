package simulate

// model is an invented kind of car. Its figures are plausible and nobody's.
type model struct {
	body   string // "Estate 2.0 petrol"
	fuel   string
	family string
	market string
	// from and to bound the year of first registration, counted back from the last day.
	youngest, oldest int
	facets           map[string]string
	// mm when new; a rear drum has its diameter in rear.
	frontDisc, rear float64
	frontBar        float64
	rearBar         float64
	ratedA          float64
	coolantL, oilL  float64
	weight          int
}

// facetsOf joins pairs of id and value.
func facetsOf(pairs ...string) map[string]string {
	m := map[string]string{}
	for i := 0; i+1 < len(pairs); i += 2 {
		m[pairs[i]] = pairs[i+1]
	}
	return m
}

// models are the kinds of car that come in. Only what departs from the catalogue's defaults is said of them.
var models = []model{
	{body: "Estate 1.6 petrol", family: "tarn-16", youngest: 10, oldest: 19, weight: 5, frontDisc: 25, rear: 10, frontBar: 2.3, rearBar: 2.5, ratedA: 540, coolantL: 6.4, oilL: 4.2,
		facets: facetsOf("driven-axle", "rear", "rear-doors", "yes", "towbar", "yes", "spare", "wheel")},
	{body: "Saloon 1.6 petrol", family: "tarn-16", youngest: 12, oldest: 20, weight: 4, frontDisc: 25, rear: 10, frontBar: 2.2, rearBar: 2.4, ratedA: 540, coolantL: 6.4, oilL: 4.2,
		facets: facetsOf("driven-axle", "rear", "gearbox", "automatic", "spare", "wheel")},
	{body: "Estate 2.2 diesel", family: "orrin-22", youngest: 6, oldest: 14, weight: 5, frontDisc: 28, rear: 12, frontBar: 2.5, rearBar: 2.8, ratedA: 760, coolantL: 8.1, oilL: 5.8,
		facets: facetsOf("steering-assist", "electric", "parking-brake", "electric", "spare", "kit", "tpms", "yes", "battery-type", "agm", "adblue", "no", "fog-front", "yes")},
	{body: "Van-backed estate 2.2 diesel", family: "orrin-22", youngest: 8, oldest: 15, weight: 3, frontDisc: 28, rear: 12, frontBar: 2.7, rearBar: 3.0, ratedA: 760, coolantL: 8.1, oilL: 5.8,
		facets: facetsOf("steering-assist", "hydraulic", "towbar", "yes", "spare", "wheel", "load-sensing-valve", "yes")},
	{body: "Hatchback 1.2 petrol", fuel: "petrol", youngest: 7, oldest: 17, weight: 6, frontDisc: 22, rear: 203, frontBar: 2.2, rearBar: 2.1, ratedA: 420, coolantL: 4.8, oilL: 3.3,
		facets: facetsOf("cam-drive", "chain", "rear-brakes", "drum", "steering-assist", "electric", "aircon", "no", "esc", "yes", "spare", "wheel", "headlamp-levelling", "yes")},
	{body: "Small hatchback 1.0 petrol", fuel: "petrol", youngest: 5, oldest: 12, weight: 5, frontDisc: 22, rear: 180, frontBar: 2.3, rearBar: 2.2, ratedA: 400, coolantL: 4.2, oilL: 3.1,
		facets: facetsOf("cam-drive", "chain", "rear-brakes", "drum", "steering-assist", "electric", "spare", "kit", "rear-doors", "no")},
	{body: "Hatchback 1.4 petrol", fuel: "petrol", youngest: 11, oldest: 20, weight: 5, frontDisc: 22, rear: 203, frontBar: 2.2, rearBar: 2.1, ratedA: 440, coolantL: 5.6, oilL: 3.6,
		facets: facetsOf("cam-drive", "belt", "interference-engine", "yes", "rear-brakes", "drum", "steering-assist", "hydraulic", "esc", "no", "spare", "wheel")},
	{body: "Saloon 2.0 petrol", fuel: "petrol", youngest: 9, oldest: 18, weight: 4, frontDisc: 26, rear: 10, frontBar: 2.4, rearBar: 2.4, ratedA: 640, coolantL: 7.2, oilL: 5.0,
		facets: facetsOf("cam-drive", "chain", "turbo", "yes", "air-filter-count", "2", "gearbox", "automatic", "spare", "kit", "fog-front", "yes")},
	{body: "Hatchback 1.9 diesel", fuel: "diesel", youngest: 13, oldest: 21, weight: 3, frontDisc: 25, rear: 10, frontBar: 2.3, rearBar: 2.5, ratedA: 680, coolantL: 6.8, oilL: 4.3,
		facets: facetsOf("cam-drive", "belt", "interference-engine", "yes", "turbo", "yes", "spare", "wheel")},
	{body: "High-roofed estate 1.6 diesel", fuel: "diesel", youngest: 6, oldest: 13, weight: 3, frontDisc: 26, rear: 9, frontBar: 2.4, rearBar: 2.7, ratedA: 700, coolantL: 6.5, oilL: 3.8,
		facets: facetsOf("cam-drive", "belt", "interference-engine", "yes", "turbo", "yes", "particulate-filter", "yes", "steering-assist", "electric", "cabin-filter-count", "2", "spare", "none", "tpms", "yes")},
	{body: "Two-seat soft top 1.8 petrol", fuel: "petrol", youngest: 15, oldest: 24, weight: 2, frontDisc: 20, rear: 9, frontBar: 1.8, rearBar: 1.8, ratedA: 380, coolantL: 6.0, oilL: 4.0,
		facets: facetsOf("cam-drive", "belt", "interference-engine", "no", "roof", "soft", "driven-axle", "rear", "cabin-filter-count", "0", "rear-doors", "no", "esc", "no", "spare", "kit", "interference-engine", "no")},
	{body: "All-wheel-drive estate 2.5 petrol", fuel: "petrol", youngest: 9, oldest: 16, weight: 2, frontDisc: 24, rear: 10, frontBar: 2.3, rearBar: 2.2, ratedA: 620, coolantL: 7.0, oilL: 4.5,
		facets: facetsOf("cam-drive", "belt", "interference-engine", "yes", "driven-axle", "all", "gearbox", "automatic", "tyre-season", "all-season", "spare", "wheel")},
	{body: "Hybrid hatchback 1.8", fuel: "hybrid", youngest: 5, oldest: 11, weight: 3, frontDisc: 25, rear: 9, frontBar: 2.5, rearBar: 2.4, ratedA: 400, coolantL: 6.6, oilL: 4.2,
		facets: facetsOf("cam-drive", "chain", "gearbox", "automatic", "steering-assist", "electric", "spare", "kit", "parking-brake", "pedal")},
	{body: "Four-door 2.4 petrol", fuel: "petrol", market: "us", youngest: 8, oldest: 18, weight: 2, frontDisc: 26, rear: 9, frontBar: 2.2, rearBar: 2.2, ratedA: 550, coolantL: 6.9, oilL: 4.2,
		facets: facetsOf("cam-drive", "chain", "gearbox", "automatic", "tpms", "yes", "tyre-season", "all-season", "spare", "wheel", "headlamp-levelling", "no", "parking-brake", "pedal")},
}

// chooseModel takes the US car for a few fixed places of the fleet, so that a small fleet has some too, and draws by weight else.
func chooseModel(d dice, n int) *model {
	if n%13 == 5 {
		return &models[len(models)-1]
	}
	total := 0
	for i := range models[:len(models)-1] {
		total += models[i].weight
	}
	x := d.IntN(total)
	for i := range models[:len(models)-1] {
		if x -= models[i].weight; x < 0 {
			return &models[i]
		}
	}
	return &models[0]
}
