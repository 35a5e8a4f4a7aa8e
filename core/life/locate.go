package life

import "math"

// crest is the top of the posterior over mu for one w: of the envelope, and of what the looks that can err leave of it.
type crest struct {
	w          float64
	peak       peak
	at, height float64
}

// steepest is the largest |ln sigma| that is looked at: the square of 1/sigma must be a number.
const steepest = 160

// locate finds the top of the posterior and how far in w it reaches.
func (g *grid) locate() (low, high float64) {
	seen := g.scan()
	if g.found.height > 0 {
		seen = append(seen, g.crest(g.found.w, g.found.at))
	}
	best := seen[0]
	for _, c := range seen {
		if c.height > best.height {
			best = c
		}
	}
	best, sd := g.climb(best)
	if math.Abs(best.w) > steepest-40 {
		g.ref = math.Inf(-1) // no top within reach
		return best.w, best.w
	}
	g.ref, g.level = best.height, best.height-depth
	g.rowScale = best.peak.width * math.Sqrt(2*math.Pi)
	low, g.start = g.reach(best, -1, sd)
	high, _ = g.reach(best, 1, sd)
	for _, c := range seen {
		if c.height >= g.level {
			if c.w < low {
				low, g.start = c.w, c.at
			}
			high = math.Max(high, c.w)
		}
	}
	g.sd = math.Max(sd, (high-low)/60)
	return low, high
}

// scan looks at the whole prior, and beyond while the likelihood drags the top out of it.
func (g *grid) scan() []crest {
	const steps, pace = 6, 1.0
	at := func(k int, start float64) crest { return g.crest(g.ev.w0+pace*float64(k)*g.ev.sdW, start) }
	all := make([]crest, 0, 2*steps+1)
	start := g.ev.mu0
	for k := -steps; k <= steps; k++ {
		c := at(k, start)
		start = c.at
		all = append(all, c)
	}
	first, last := all[0], all[len(all)-1]
	for k := -steps - 1; k > -40*steps; k-- {
		next := at(k, first.at)
		if next.height <= first.height {
			break
		}
		all, first = append(all, next), next
	}
	for k := steps + 1; k < 40*steps; k++ {
		next := at(k, last.at)
		if next.height <= last.height {
			break
		}
		all, last = append(all, next), next
	}
	return all
}

// crest finds the top of a row. Where looks can err there may be several; the highest of a fine comb is taken and improved.
func (g *grid) crest(w, start float64) crest {
	if math.Abs(w) > steepest {
		return crest{w: w, peak: peak{start, g.ev.sdM, math.Inf(-1)}, at: start, height: math.Inf(-1)}
	}
	p := g.ev.top(w, start)
	c := crest{w: w, peak: p, at: p.mu, height: p.height}
	if g.ev.concave() {
		return c
	}
	g.short.prepare(&g.ev, w, p.mu)
	c.at, c.height = g.comb(p, g.ev.priorW(w), start)
	return c
}

// comb looks for the top of a row of looks that can err, of which the shortcut is prepared: about the envelope's top, about near, and
// about and between the looks, where alone their likelihood changes.
func (g *grid) comb(p peak, prior, near float64) (at, height float64) {
	value := func(mu float64) float64 { return g.ev.cover(mu, &g.short) + prior + g.ev.erring(mu, g.short.inv) }
	const teeth, pace = 8, 0.8
	at, height = p.mu, value(p.mu)
	try := func(mu float64) {
		if v := value(mu); v > height {
			at, height = mu, v
		}
	}
	try(near)
	for k := -teeth; k <= teeth; k++ {
		try(p.mu + pace*float64(k)*p.width)
	}
	sigma := 1 / g.short.inv
	for i, y := range g.ev.turns {
		try(y - 2*sigma)
		try(y + 2*sigma)
		if i > 0 {
			try((y + g.ev.turns[i-1]) / 2)
		}
	}
	for d := math.Min(pace/2*p.width, 2*sigma); d > 0.003*math.Min(p.width, sigma); d /= 2 {
		from := at
		try(from - d)
		try(from + d)
	}
	return at, height
}

// climb goes from the best of the scan to the top and measures how fast it falls: sd is that of a normal density as curved.
func (g *grid) climb(best crest) (crest, float64) {
	d := 0.5 * g.ev.sdW
	for range 80 {
		left, right := g.crest(best.w-d, best.at), g.crest(best.w+d, best.at)
		switch {
		case left.height > best.height:
			best = left
		case right.height > best.height:
			best = right
		default:
			if bend := 2*best.height - left.height - right.height; bend < 2 && bend > 1e-3 || d < 1e-12 {
				return best, d / math.Sqrt(math.Max(bend, 0.01))
			}
			d /= 3
		}
	}
	return best, d
}

// reach steps away from the top until the rows are under the level, and says at which w and with which top over mu.
func (g *grid) reach(best crest, dir, sd float64) (w, start float64) {
	w, start = best.w, best.at
	step := sd
	for range 200 {
		w += dir * step
		c := g.crest(w, start)
		start = c.at
		if c.height < g.level {
			break
		}
		if math.Abs(w-best.w) > 8*sd {
			step *= 1.3
		}
	}
	return w, start
}
