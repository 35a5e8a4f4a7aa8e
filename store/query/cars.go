package query

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"witnessmark/shop"
)

const (
	carsCount = `SELECT COUNT(*) FROM car c`
	carsRows  = `SELECT v.id, v.car_id, v.plate, v.vin, v.description, v.owner_name, v.owner_phone, v.owner_email,
  v.first_registered, v.units, v.facets, v.specs, v.by_whom, v.received_at, c.last_round_id
FROM car c JOIN car_version v ON v.id = c.version_id`
	carsOrder = ` ORDER BY c.last_round_on DESC, c.last_round_seq DESC, c.plate_key, c.car_id`
)

// defaultLimit is how many cars a list has when the filter does not say.
const defaultLimit = 50

// Cars lists current versions, newest round first, then by plate; the count is without limit and offset.
func (r *Reader) Cars(ctx context.Context, f shop.CarFilter) ([]shop.CarRow, int, error) {
	words, err := searchWords(f.Text)
	if err != nil {
		return nil, 0, err
	}
	where, args := carsWhere(words, f.Day)
	n, err := r.number(ctx, carsCount+where, args...)
	if err != nil {
		return nil, 0, fmt.Errorf("count the cars: %w", err)
	}
	limit, offset := f.Limit, max(f.Offset, 0)
	if limit <= 0 {
		limit = defaultLimit
	}
	if int64(offset) >= n {
		return nil, int(n), nil
	}
	page := carsRows + where + carsOrder + ` LIMIT ` + parameter(len(args)) + ` OFFSET ` + parameter(len(args)+1)
	list, err := many(ctx, r, "the cars", page, scanCarRow, append(args, limit, offset)...)
	if err != nil {
		return nil, 0, err
	}
	for i := range list {
		if list[i].LastRound == nil {
			continue
		}
		round, err := r.Round(ctx, list[i].LastRound.ID)
		if err != nil {
			return nil, 0, err
		}
		list[i].LastRound = &round
	}
	return list, int(n), nil
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
		conditions = append(conditions, `c.car_id IN (SELECT d.car_id FROM round d WHERE d.on_day = `+parameter(len(args))+`)`)
		args = append(args, day)
	}
	if len(conditions) == 0 {
		return "", nil
	}
	return " WHERE " + strings.Join(conditions, " AND "), args
}

// scanCarRow reads a car; of its newest round only the id.
func scanCarRow(r row) (shop.CarRow, error) {
	var roundID string
	car, err := scanCarVersionAnd(r, &roundID)
	c := shop.CarRow{Car: car}
	if roundID != "" {
		c.LastRound = &shop.RoundFact{ID: roundID}
	}
	return c, err
}
