package shop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"

	"witnessmark/core/money"
)

// plateMark stands before a plate in Price.For; anything else there is a family of the catalogue.
const plateMark = "plate:"

// priceMemory keeps the list that was read last, as estimates ask for it line by line.
type priceMemory struct {
	mu   sync.Mutex
	kept Kept[PriceList]
}

// Prices gives the price list that counts: the one saved last, when it is in the currency of the terms; an empty one otherwise. It is
// shared and must not be changed.
func (s *Shop) Prices(ctx context.Context) (*PriceList, error) {
	k, err := s.PricesNow(ctx)
	if err != nil {
		return nil, err
	}
	t, set, err := s.Terms(ctx)
	if err != nil {
		return nil, err
	}
	if !set || t.Estimate.Currency.Code != k.Said.Currency {
		return &PriceList{}, nil
	}
	return &k.Said, nil
}

// PricesNow gives the record of the list that was saved last, whatever its currency; without an id when there is none. Its prices are
// shared and must not be changed.
func (s *Shop) PricesNow(ctx context.Context) (k Kept[PriceList], err error) {
	s.prices.mu.Lock()
	defer s.prices.mu.Unlock()
	err = s.store.View(ctx, func(r Reader) error {
		newer, err := records[PriceList](ctx, r, RecordFilter{Kind: KindPrices, After: s.prices.kept.Seq, Last: true, Limit: 1})
		if err == nil && len(newer) > 0 {
			s.prices.kept = newer[0]
		}
		return err
	})
	return s.prices.kept, err
}

// pricesNow gives the record of the list that counts within a transaction; without an id when there is none.
func pricesNow(ctx context.Context, r Reader) (Kept[PriceList], error) {
	list, err := records[PriceList](ctx, r, RecordFilter{Kind: KindPrices, Last: true, Limit: 1})
	if err != nil || len(list) == 0 {
		return Kept[PriceList]{}, err
	}
	return list[0], nil
}

// PriceFor finds the price of a part for a car: one for its plate, else one for a family that it is of (in the order given), else one
// for all. Of several the first in the list counts. It is false when the list has none.
func PriceFor(list *PriceList, part string, car CarVersion, families []string) (Price, bool) {
	if list == nil || part == "" {
		return Price{}, false
	}
	plate := plainPlate(car.Plate)
	best, found := len(families)+2, -1
	for i := range list.Prices {
		p := &list.Prices[i]
		if p.Part != part {
			continue
		}
		rank := len(families) + 1
		if own, ok := strings.CutPrefix(p.For, plateMark); ok {
			if plate == "" || plainPlate(own) != plate {
				continue
			}
			rank = 0
		} else if p.For != "" {
			k := slices.Index(families, p.For)
			if k < 0 {
				continue
			}
			rank = k + 1
		}
		if rank < best {
			best, found = rank, i
		}
	}
	if found < 0 {
		return Price{}, false
	}
	return list.Prices[found], true
}

// FamiliesOf gives the ids of the catalogue's families that a car is of.
func (s *Shop) FamiliesOf(c CarVersion) []string {
	facets := s.FacetsOf(c)
	var out []string
	for _, f := range s.cat.Families {
		if ok, _ := f.When.Holds(facets); ok {
			out = append(out, f.ID)
		}
	}
	return out
}

// plainPlate is a plate without spaces and signs, in capitals.
func plainPlate(text string) string {
	return strings.ToUpper(strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return -1
	}, text))
}

// check refuses a list that no estimate could use.
func (l *PriceList) check() error {
	if _, ok := money.Known(l.Currency); !ok && (l.Currency != "" || len(l.Prices) > 0) {
		return fmt.Errorf("prices: the currency %q is not known", l.Currency)
	}
	if len(l.Prices) > MostPrices {
		return fmt.Errorf("prices: %d are too many; expected at most %d", len(l.Prices), MostPrices)
	}
	seen := map[priceKey]int{}
	for i := range l.Prices {
		p := &l.Prices[i]
		if bad := p.problems(); len(bad) > 0 {
			return fmt.Errorf("prices: %d: %s: %s", i+1, bad[0].Column, bad[0].Text)
		}
		if before, twice := seen[p.key()]; twice {
			return fmt.Errorf("prices: %d says the same as %d", i+1, before)
		}
		seen[p.key()] = i + 1
	}
	return nil
}

// priceKey is what tells two lines of a list apart.
type priceKey struct{ number, part, who string }

func (p *Price) key() priceKey {
	who := p.For
	if own, ok := strings.CutPrefix(who, plateMark); ok {
		who = plateMark + plainPlate(own)
	}
	return priceKey{p.Number, p.Part, who}
}

// SavePrices keeps a list as the one that counts from now on, in place of the list with the id after ("" for none). It is ErrConflict
// when another list counts by now. The same form sent twice is stored once.
func (s *Shop) SavePrices(ctx context.Context, id, by, after string, list PriceList) error {
	if err := list.check(); err != nil {
		return err
	}
	list.Replaces = after
	rec, err := s.record(id, KindPrices, "", "", by, list)
	if err != nil {
		return err
	}
	return s.store.Update(ctx, func(w Writer) error {
		if _, err := w.Record(ctx, id); err == nil {
			_, err = w.Put(ctx, Fact{Record: &rec}) // the same form again
			return err
		} else if !errors.Is(err, ErrNotFound) {
			return err
		}
		now, err := pricesNow(ctx, w)
		if err != nil {
			return err
		}
		if now.ID != after {
			return ErrConflict
		}
		_, err = w.Put(ctx, Fact{Record: &rec})
		return err
	})
}

// UndoPrices brings back the list that the one with the id now replaced, as a new record. It is ErrConflict when another list counts by
// now, ErrNotFound when there is no such list. The same form sent twice is stored once.
func (s *Shop) UndoPrices(ctx context.Context, id, by, now string) error {
	var list PriceList
	err := s.store.View(ctx, func(r Reader) error {
		undone, err := priceRecord(ctx, r, now)
		if err != nil {
			return err
		}
		list = PriceList{Source: "no list"}
		if undone.Said.Replaces == "" {
			return nil
		}
		before, err := priceRecord(ctx, r, undone.Said.Replaces)
		list, list.Restores = before.Said, before.ID
		return err
	})
	if err != nil {
		return err
	}
	return s.SavePrices(ctx, id, by, now, list)
}

func priceRecord(ctx context.Context, r Reader, id string) (Kept[PriceList], error) {
	rec, err := r.Record(ctx, id)
	if err != nil {
		return Kept[PriceList]{}, err
	}
	if rec.Kind != KindPrices {
		return Kept[PriceList]{}, ErrNotFound
	}
	return kept[PriceList](rec)
}
