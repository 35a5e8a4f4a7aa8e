package query

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"witnessmark/shop"
)

const (
	carsCount  = `SELECT COUNT(*) FROM car c`
	carsSelect = `SELECT c.version_id, c.last_round_id, c.last_round_on, c.last_round_seq, c.plate_key, c.car_id FROM car c`
	carsOrder  = ` ORDER BY c.last_round_on DESC, c.last_round_seq DESC, c.plate_key, c.car_id`
)

// defaultLimit is how many cars a list has when the filter does not say.
const defaultLimit = 50

// fewCars is how many cars are fetched at once and sorted here. A few among many are found faster by reading the
// table as it lies than by walking along its order; for more, the order ends the walk when the page is full.
const fewCars = 300

// carRef is a car in a list before its facts are read: the ids of its current version and its newest round, if any,
// and what it is sorted by.
type carRef struct {
	version, round, on string
	seq                int64
	plate, car         string
}

// Cars lists current versions, newest round first, then by plate; the count is without limit and offset.
func (r *Reader) Cars(ctx context.Context, f shop.CarFilter) ([]shop.CarRow, int, error) {
	words, err := searchWords(f.Text)
	if err != nil {
		return nil, 0, err
	}
	if f.Limit <= 0 {
		f.Limit = defaultLimit
	}
	f.Offset = max(f.Offset, 0)
	where, args := carsWhere(words, f.Day)
	page, n, err := r.carRefs(ctx, where, args, f.Limit, f.Offset)
	if err != nil {
		return nil, 0, err
	}
	rows, err := r.carRows(ctx, page)
	return rows, n, err
}

// carRefs finds a page of cars and the number of all.
func (r *Reader) carRefs(ctx context.Context, where string, args []any, limit, offset int) ([]carRef, int, error) {
	if where != "" {
		few, err := many(ctx, r, "the cars", carsFew(where, len(args)), scanCarRef, append(args, fewCars+1)...)
		if err != nil {
			return nil, 0, err
		}
		if len(few) <= fewCars {
			slices.SortFunc(few, compareCars)
			return few[min(offset, len(few)):min(offset+limit, len(few))], len(few), nil
		}
	}
	n, err := r.number(ctx, carsCount+where, args...)
	if err != nil {
		return nil, 0, fmt.Errorf("count the cars: %w", err)
	}
	if int64(offset) >= n {
		return nil, int(n), nil
	}
	page, err := many(ctx, r, "the cars", carsPage(where, len(args)), scanCarRef, append(args, limit, offset)...)
	return page, int(n), err
}

// carsFew is the query for cars in no order; the limit is the parameter after n others.
func carsFew(where string, n int) string { return carsSelect + where + ` LIMIT ` + parameter(n) }

// carsPage is the query for a page; limit and offset are the parameters after n others.
func carsPage(where string, n int) string {
	return carsSelect + where + carsOrder + ` LIMIT ` + parameter(n) + ` OFFSET ` + parameter(n+1)
}

// compareCars is the order of carsOrder.
func compareCars(a, b carRef) int {
	return cmp.Or(strings.Compare(b.on, a.on), cmp.Compare(b.seq, a.seq), strings.Compare(a.plate, b.plate),
		strings.Compare(a.car, b.car))
}

// parameter is the parameter after n others.
func parameter(n int) string { return "$" + strconv.Itoa(n+1) }

// carsWhere makes the condition of a filter. Words have letters and digits only, so none means something in a pattern.
func carsWhere(words []string, day string) (where string, args []any) {
	var conditions []string
	for _, word := range words {
		conditions = append(conditions, `c.search LIKE `+parameter(len(args)))
		args = append(args, "%"+word+"%")
	}
	if day != "" {
		conditions = append(conditions, `c.car_id IN (SELECT d.car_id FROM round d WHERE d.on_day = `+parameter(len(args))+
			` AND NOT EXISTS (SELECT 1 FROM withdrawal w WHERE w.fact_id = d.id AND w.what = 'round'))`)
		args = append(args, day)
	}
	if len(conditions) == 0 {
		return "", nil
	}
	return " WHERE " + strings.Join(conditions, " AND "), args
}

func scanCarRef(r row) (c carRef, err error) {
	err = r.Scan(&c.version, &c.round, &c.on, &c.seq, &c.plate, &c.car)
	return c, err
}

// carRows reads the versions and rounds of a page.
func (r *Reader) carRows(ctx context.Context, page []carRef) ([]shop.CarRow, error) {
	var versionIDs, roundIDs []string
	for _, c := range page {
		versionIDs = append(versionIDs, c.version)
		if c.round != "" {
			roundIDs = append(roundIDs, c.round)
		}
	}
	versions, err := byIDs(ctx, r, carVersionSelect+` WHERE id IN `, versionIDs, &carVersions)
	if err != nil {
		return nil, err
	}
	found, err := byIDs(ctx, r, roundSelect+` WHERE r.id IN `, roundIDs, &rounds)
	if err != nil {
		return nil, err
	}
	var rows []shop.CarRow
	for _, c := range page {
		row := shop.CarRow{Car: versions[c.version]}
		if round, ok := found[c.round]; ok {
			row.LastRound = &round
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// byIDs reads facts by their ids, in portions that every engine takes. All must be there.
func byIDs[T any](ctx context.Context, r *Reader, query string, ids []string, k *kind[T]) (map[string]T, error) {
	found := make(map[string]T, len(ids))
	for len(ids) > 0 {
		portion := ids[:min(len(ids), pageSize)]
		ids = ids[len(portion):]
		var list strings.Builder
		var args []any
		for i, id := range portion {
			list.WriteString(`, ` + parameter(i))
			args = append(args, id)
		}
		facts, err := many(ctx, r, k.name, query+`(`+list.String()[2:]+`)`, k.scan.plain, args...)
		if err != nil {
			return nil, err
		}
		if len(facts) != len(portion) {
			return nil, fmt.Errorf("the list of cars refers to %s that does not exist", k.name)
		}
		for _, f := range facts {
			found[k.id(f)] = f
		}
	}
	return found, nil
}
