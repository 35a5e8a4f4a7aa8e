package web

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"witnessmark/core/life"
	"witnessmark/core/outlook"
	"witnessmark/core/point"
	"witnessmark/shop"
)

// learnedData is what the workshop's own history has taught.
type learnedData struct {
	// When and From say when it was learned and from how much; New how much has come since.
	When, From, New string
	Stale           bool
	// Moved are the classes whose figure moved most, the most moved first, Less those that moved less; Kept are those that stand.
	Moved, Less, Kept []learnedRow
}

// movedFirst is how many of the classes that moved stand open.
const movedFirst = 12

// learnedRow is one class: an item for a kind of car.
type learnedRow struct {
	Name, Class, From string
	Book, Ours        string // the catalogue's figure and the workshop's
	Says              string
	shift             float64 // logarithm of ours to the catalogue's
}

// leastMoved is the change, as a logarithm, below which a figure stands for what people do with it: 3 %.
const leastMoved = 0.03

// learned lists what was learned last.
func (s *server) learned(ctx context.Context, st shop.LearnState) (learnedData, error) {
	d := learnedData{Stale: st.Stale}
	if st.Last == nil {
		return d, nil
	}
	d.When = time.UnixMilli(st.Last.ReceivedAt).In(s.shop.Now().Location()).Format("2 January 2006, 15:04")
	d.From = fmt.Sprintf("%s looks at %s cars", number(float64(st.Last.Looks)), number(float64(st.Last.Cars)))
	if st.New > 0 {
		d.New = countOf(st.New, "reading") + " since then"
	}
	classes, _, err := s.shop.Classes(ctx)
	if err != nil {
		return d, err
	}
	for _, f := range classes {
		if f.Looks == 0 {
			continue
		}
		row, ok := s.learnedRow(f)
		switch {
		case !ok:
		case math.Abs(row.shift) < leastMoved:
			d.Kept = append(d.Kept, row)
		default:
			d.Moved = append(d.Moved, row)
		}
	}
	slices.SortFunc(d.Moved, func(a, b learnedRow) int {
		return cmp.Or(cmp.Compare(math.Abs(b.shift), math.Abs(a.shift)), cmp.Compare(a.Name+a.Class, b.Name+b.Class))
	})
	d.Moved, d.Less = cut(d.Moved, movedFirst)
	slices.SortFunc(d.Kept, func(a, b learnedRow) int { return cmp.Compare(a.Name+a.Class, b.Name+b.Class) })
	return d, nil
}

// learnedRow puts one class into words; false when the catalogue no longer has its law.
func (s *server) learnedRow(f outlook.Fitted) (learnedRow, bool) {
	cat := s.shop.Catalogue()
	i := slices.IndexFunc(cat.Laws, func(l *point.Law) bool { return l.ID == f.Law })
	if i < 0 {
		return learnedRow{}, false
	}
	law := cat.Laws[i]
	p := cat.Point(law.Point)
	if p == nil {
		return learnedRow{}, false
	}
	row := learnedRow{Name: placed(p.Name, point.Where(law.Axle)), Class: s.className(law, f), From: fmt.Sprintf("%s looks, %s", number(float64(f.Looks)), countOf(f.Cars, "car"))}
	var book, ours float64
	switch {
	case law.Life != nil && f.Life != nil:
		book, ours = bookMedian(law.Life, f.Class), ownMedian(law.Life, *f.Life)
		row.Book, row.Ours = spanWords(book, law.Unit), spanWords(ours, law.Unit)
		row.Says = "lasts " + moreOrLess(ours/book, "longer", "shorter")
	case law.Wear != nil && f.Wear != nil:
		book, ours = law.Wear.Rate, math.Exp(f.Wear.LogRate)
		if law.Unit == "km" {
			ours *= 1000
		}
		row.Book, row.Ours = rateWords(book, law, p), rateWords(ours, law, p)
		row.Says = "wears " + moreOrLess(ours/book, "faster", "slower")
	default:
		return row, false
	}
	if !(book > 0) || !(ours > 0) || math.IsInf(ours, 0) {
		return row, false
	}
	row.shift = math.Log(ours / book)
	return row, true
}

// className names the kind of car of a class.
func (s *server) className(law *point.Law, f outlook.Fitted) string {
	name := "all cars"
	if law.By != "" {
		name = facetWord(f.Class)
		if d := s.shop.Catalogue().Facets[law.By]; d != nil && f.Class != "" {
			name = strings.ToLower(d.Name) + ": " + name
		}
		if f.Class == "" {
			name = "not known"
		}
	}
	for _, fam := range s.shop.Catalogue().Families {
		if fam.ID == f.Family {
			return fam.Name
		}
	}
	return name
}

// bookMedian is the catalogue's typical life of a class.
func bookMedian(l *point.LifeLaw, class string) float64 {
	if m := l.Medians[class]; m > 0 {
		return m
	}
	return l.Median
}

// ownMedian is the typical life by what was learned: half of such parts have turned by then.
func ownMedian(l *point.LifeLaw, p life.Prior) float64 {
	m, err := life.ParseModel(l.Model)
	if err != nil {
		m = life.Weibull
	}
	sigma := math.Exp(-p.LogShapeMean)
	if m == life.Lognormal {
		sigma = math.Exp(p.LogShapeMean)
	}
	return life.Estimate{Model: m, Mu: p.LogScaleMean, Sigma: sigma}.Quantile(0.5)
}

// spanWords writes a typical life.
func spanWords(x float64, in string) string {
	switch {
	case in == "km":
		return number(math.Round(x/100)*100) + "\u00a0km"
	case x >= 48:
		return number(math.Round(x/12*2)/2) + "\u00a0years"
	}
	return number(math.Round(x)) + "\u00a0months"
}

// rateWords writes a typical wear, given per 1 000 km or month: "1.2 mm in 10 000 km", "6 a year".
func rateWords(x float64, law *point.Law, p *point.Point) string {
	in := law.Wear.Value
	if in == "" && len(p.Values) > 0 {
		in = p.Values[0].Name
	}
	if in == "derived" {
		in = ""
	}
	if i := strings.LastIndex(in, "_"); i >= 0 {
		in = in[i+1:]
	}
	if law.Unit == "km" { // per 1 000 km most figures are too small to compare
		return amountWords(10*x, in) + " in " + number(10000) + "\u00a0km"
	}
	return amountWords(12*x, in) + " a year"
}

// moreOrLess says by how much a figure is above or below another.
func moreOrLess(ratio float64, more, less string) string {
	switch percent := math.Round(100 * math.Abs(ratio-1)); {
	case ratio >= 2:
		return fmt.Sprintf("%s times as %s", number(math.Round(ratio*10)/10), map[string]string{"longer": "long", "faster": "fast"}[more])
	case percent < 1:
		return "the same"
	case ratio > 1:
		return fmt.Sprintf("%.0f\u00a0%% %s", percent, more)
	default:
		return fmt.Sprintf("%.0f\u00a0%% %s", percent, less)
	}
}
