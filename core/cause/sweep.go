package cause

// sweep runs a route forwards and back.
type sweep struct {
	l     *layers
	ops   []op
	alpha [][]float64 // the state before each step
	total scaled
	ends  []end
}

// end is what becomes of a finding when it leaves the state: w0 weighs "off so far", w1 "on", after the leak and the causes that can
// produce only this finding.
type end struct {
	w0, w1 float64
	a, b   []float64 // prefix: probability that it is off, on, before the k-th single cause
	tail   []float64 // suffix: weight of "off before the k-th single cause"
}

// endOf folds the leak and the single causes of a finding.
func (l *layers) endOf(f int) end {
	g := l.gates[f]
	n := len(l.single[f])
	e := end{a: make([]float64, n+1), b: make([]float64, n+1), tail: make([]float64, n+1)}
	e.a[0], e.b[0] = 1-g.leak, g.leak
	for k, c := range l.single[f] {
		miss, hit := l.chances(c)
		e.a[k+1], e.b[k+1] = e.a[k]*miss, e.b[k]+e.a[k]*hit
	}
	e.tail[n] = g.off
	for k := n - 1; k >= 0; k-- {
		miss, hit := l.chances(l.single[f][k])
		e.tail[k] = miss*e.tail[k+1] + hit*g.on
	}
	e.w0, e.w1 = g.off*e.a[n]+g.on*e.b[n], g.on
	return e
}

// chances are the probabilities that a single cause leaves its finding off, or turns it on.
func (l *layers) chances(c int) (miss, hit float64) {
	for s, q := range l.links[c][0].q {
		miss += l.weights[c][s] * (1 - q)
		hit += l.weights[c][s] * q
	}
	return miss, hit
}

// forward runs the route and keeps the state before each step.
func (l *layers) forward(ops []op) *sweep {
	s := &sweep{l: l, ops: ops, total: l.scale}
	for f := range l.gates {
		s.ends = append(s.ends, l.endOf(f))
	}
	room, largest := 1, 1
	for _, o := range ops {
		room += 2 * o.size // entering doubles it
		largest = max(largest, o.size)
	}
	arena := make([]float64, room)
	scratch := make([]float64, largest)
	take := func(n int) []float64 {
		v := arena[:n:n]
		arena = arena[n:]
		return v
	}
	v := take(1)
	v[0] = 1
	for _, o := range ops {
		s.alpha = append(s.alpha, v)
		switch o.kind {
		case enter:
			next := take(2 * len(v))
			copy(next, v)
			v = next
		case sum:
			next := take(len(v))
			l.spread(next, v, o, scratch)
			v = next
		case leave:
			next := take(len(v) / 2)
			s.fold(next, v, o)
			v = next
		}
		s.total.e += rescale(v)
	}
	s.total = s.total.times(v[0])
	return s
}

// spread sums over the states of a cause: each finding that is off is turned on with probability q.
func (l *layers) spread(next, v []float64, o op, scratch []float64) {
	for s, w := range l.weights[o.who] {
		if w == 0 {
			continue
		}
		t := v
		for k, b := range o.bits {
			q := l.links[o.who][k].q[s]
			if q == 0 {
				continue
			}
			dst := scratch[:len(v)]
			turnOn(dst, t, 1<<b, q)
			t = dst
		}
		for i, x := range t {
			next[i] += w * x
		}
	}
}

// turnOn moves the share q from "off" to "on" at one place; dst may be v.
func turnOn(dst, v []float64, bit int, q float64) {
	r := 1 - q
	for base := 0; base < len(v); base += 2 * bit {
		off, on := v[base:base+bit], v[base+bit:base+2*bit]
		dOff, dOn := dst[base:base+bit], dst[base+bit:base+2*bit]
		for i, x := range off {
			dOn[i] = on[i] + q*x
			dOff[i] = r * x
		}
	}
}

// pull is the transpose of turnOn: what "off" is worth before the cause.
func pull(dst, v []float64, bit int, q float64) {
	r := 1 - q
	for base := 0; base < len(v); base += 2 * bit {
		off, on := v[base:base+bit], v[base+bit:base+2*bit]
		dOff, dOn := dst[base:base+bit], dst[base+bit:base+2*bit]
		for i, x := range on {
			dOff[i] = r*off[i] + q*x
			dOn[i] = x
		}
	}
}

// fold takes a finding out of the state with the weights of its end.
func (s *sweep) fold(next, v []float64, o op) {
	bit := 1 << o.bit
	e := &s.ends[o.who]
	for i := range next {
		low := i & (bit - 1)
		j := (i-low)<<1 | low
		next[i] = e.w0*v[j] + e.w1*v[j+bit]
	}
}

// backward gives the distribution of each cause and, for the findings, the probability that they are on.
func (s *sweep) backward() (causes [][]float64, on []float64) {
	l := s.l
	causes, on = make([][]float64, len(l.weights)), make([]float64, len(l.gates))
	for c, ls := range l.links {
		if len(ls) == 0 {
			causes[c] = append([]float64{}, l.weights[c]...)
		}
	}
	largest := 1
	for _, o := range s.ops {
		largest = max(largest, 2*o.size)
	}
	space := make([]float64, 3*largest)
	beta, other, scratch := space[:1:largest], space[largest:2*largest:2*largest], space[2*largest:]
	beta[0] = 1
	for k := len(s.ops) - 1; k >= 0; k-- {
		o, alpha := s.ops[k], s.alpha[k]
		prev := other[:len(alpha)]
		switch o.kind {
		case enter:
			copy(prev, beta[:len(alpha)])
		case leave:
			s.unfold(prev, beta, alpha, o, causes, on)
		case sum:
			causes[o.who] = l.gather(prev, beta, alpha, o, scratch)
		}
		rescale(prev)
		other, beta = beta[:cap(beta)], prev
	}
	return causes, on
}

// gather is spread backwards: prev becomes the worth of the state before the cause; the result is the cause's distribution.
func (l *layers) gather(prev, beta, alpha []float64, o op, scratch []float64) []float64 {
	clear(prev)
	out := make([]float64, len(l.weights[o.who]))
	for s, w := range l.weights[o.who] {
		if w == 0 {
			continue
		}
		t := beta
		for k, b := range o.bits {
			if q := l.links[o.who][k].q[s]; q > 0 {
				dst := scratch[:len(beta)]
				pull(dst, t, 1<<b, q)
				t = dst
			}
		}
		both := 0.0
		for i, x := range t {
			prev[i] += w * x
			both += alpha[i] * x
		}
		out[s] = w * both
	}
	normalise(out)
	return out
}

// unfold is fold backwards; on the way the causes that can produce only this finding get their distributions.
func (s *sweep) unfold(prev, beta, alpha []float64, o op, causes [][]float64, on []float64) {
	bit := 1 << o.bit
	e := &s.ends[o.who]
	m0, m1 := 0.0, 0.0
	for i, x := range beta {
		low := i & (bit - 1)
		j := (i-low)<<1 | low
		m0 += alpha[j] * x
		m1 += alpha[j+bit] * x
		prev[j], prev[j+bit] = e.w0*x, e.w1*x
	}
	l, g := s.l, s.l.gates[o.who]
	for k, c := range l.single[o.who] {
		out := make([]float64, len(l.weights[c]))
		a, b := m0*e.a[k], m0*e.b[k]+m1
		for st, q := range l.links[c][0].q {
			out[st] = l.weights[c][st] * (a*((1-q)*e.tail[k+1]+q*g.on) + b*g.on)
		}
		normalise(out)
		causes[c] = out
	}
	n := len(e.a) - 1
	yes, no := (m0*e.b[n]+m1)*g.on, m0*e.a[n]*g.off
	if yes+no > 0 {
		on[o.who] = yes / (yes + no)
	}
}
