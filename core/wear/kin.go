package wear

// kin is what is known of the parts of ln b that the lives of one unit share: the unit's own, and one for each side. It is a joint normal
// law, kept by the formulas of a linear normal model (the update of a Kalman filter with one row): a life's rate is seen through its posterior,
// taken as normal for this purpose; the life that a forecast is for comes last and is integrated in full.
type kin struct {
	base  float64
	sides []string
	mean  []float64
	cov   [][]float64
	life  float64 // variance of a life's own part
}

// kinOf begins with the class's law for a unit with these lives.
func kinOf(c *Class, lives []Life, k *kin) {
	k.base, k.life = c.LogRate, c.LifeSD*c.LifeSD
	k.sides = k.sides[:0]
	for i := range lives {
		if k.side(lives[i].Side) < 0 && len(k.sides) < maxSides {
			k.sides = append(k.sides, lives[i].Side)
		}
	}
	n := len(k.sides) + 1
	for len(k.cov) < n {
		k.cov = append(k.cov, nil)
	}
	k.mean = resize(k.mean, n)
	for i := range n {
		k.cov[i] = resize(k.cov[i], n)
		k.cov[i][i] = c.SideSD * c.SideSD
	}
	k.cov[0][0] = c.UnitSD*c.UnitSD + c.Doubt.LogRate*c.Doubt.LogRate
}

// maxSides bounds the sides of one unit that are kept apart; further ones share the last place.
const maxSides = 24

func resize(s []float64, n int) []float64 {
	if cap(s) < n {
		return make([]float64, n)
	}
	s = s[:n]
	clear(s)
	return s
}

func (k *kin) side(name string) int {
	for i, s := range k.sides {
		if s == name {
			return i
		}
	}
	return -1
}

func (k *kin) index(name string) int {
	if i := k.side(name); i >= 0 {
		return i + 1
	}
	return len(k.sides)
}

// expects is the law of ln b for a life on a side, by what was seen so far.
func (k *kin) expects(side string) law {
	i := k.index(side)
	return law{k.base + k.mean[0] + k.mean[i], k.cov[0][0] + 2*k.cov[0][i] + k.cov[i][i] + k.life}
}

// learn takes in a life's posterior of ln b.
func (k *kin) learn(side string, before, after law) {
	i, n := k.index(side), len(k.sides)+1
	var gain [maxSides + 1]float64
	for j := range n {
		gain[j] = (k.cov[j][0] + k.cov[j][i]) / before.variance
	}
	d, v := after.mean-before.mean, min(after.variance-before.variance, 0) // what was seen never makes less sure
	for j := range n {
		k.mean[j] += gain[j] * d
		for l := range n {
			k.cov[j][l] += gain[j] * gain[l] * v
		}
	}
}
