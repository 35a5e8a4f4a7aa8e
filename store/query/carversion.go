package query

import (
	"context"
	"fmt"

	"witnessmark/shop"
)

const (
	carVersionColumns = `id, car_id, plate, vin, description, owner_name, owner_phone, owner_email, first_registered, units,
  facets, specs, by_whom, received_at, seq`
	carVersionSelect = `SELECT ` + carVersionColumns + ` FROM car_version`
	carVersionInsert = `INSERT INTO car_version (seq, id, car_id, plate, vin, description, owner_name, owner_phone, owner_email,
  first_registered, units, facets, specs, by_whom, received_at)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)`
	carVersionByID    = carVersionSelect + ` WHERE id = $1`
	carVersionPage    = carVersionSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
	carVersionsOfCar  = carVersionSelect + ` WHERE car_id = $1 ORDER BY seq`
	carVersionCurrent = carVersionSelect + ` WHERE car_id = $1 ORDER BY seq DESC LIMIT 1`
	carExists         = `SELECT 1 FROM car_version WHERE car_id = $1 LIMIT 1`
)

var carVersions = kind[shop.CarVersion]{
	name:   "a version of a car",
	insert: carVersionInsert,
	byID:   carVersionByID,
	page:   carVersionPage,
	scan:   scanCarVersion,
	id:     func(f shop.CarVersion) string { return f.ID },
	tidy:   func(f shop.CarVersion) shop.CarVersion { f.ReceivedAt, f.Seq = 0, 0; return f },
	args:   carVersionArgs,
	check: func(_ context.Context, _ *Writer, f shop.CarVersion) error {
		if f.CarID == "" {
			return shop.Invalid{{Field: "car", Text: "The car's id is missing."}}
		}
		return nil
	},
	after: func(ctx context.Context, w *Writer, f shop.CarVersion) error { return w.refreshCar(ctx, f.CarID) },
	wrap:  func(f *shop.CarVersion) shop.Fact { return shop.Fact{Car: f} },
}

func carVersionArgs(f shop.CarVersion) ([]any, error) {
	facets, err := encode(f.Facets)
	if err != nil {
		return nil, err
	}
	specs, err := encode(f.Specs)
	if err != nil {
		return nil, err
	}
	return []any{f.ID, f.CarID, f.Plate, f.VIN, f.Description, f.Owner.Name, f.Owner.Phone, f.Owner.Email,
		f.FirstRegistered, f.Units, facets, specs, f.By, f.ReceivedAt}, nil
}

func scanCarVersion(r row, seq *int64) (f shop.CarVersion, err error) {
	var facets, specs string
	err = r.Scan(&f.ID, &f.CarID, &f.Plate, &f.VIN, &f.Description, &f.Owner.Name, &f.Owner.Phone, &f.Owner.Email,
		&f.FirstRegistered, &f.Units, &facets, &specs, &f.By, &f.ReceivedAt, &f.Seq)
	*seq = f.Seq
	if err != nil {
		return f, err
	}
	if f.Facets, err = decode[string](facets); err != nil {
		return f, fmt.Errorf("facets of the car version %q: %w", f.ID, err)
	}
	if f.Specs, err = decode[shop.SpecEntry](specs); err != nil {
		return f, fmt.Errorf("specs of the car version %q: %w", f.ID, err)
	}
	return f, nil
}

// checkCar is the check of a fact that belongs to a car. Cars have no table of facts with one row each that a foreign
// key could point to; but as a version is never removed, what was found once stays.
func checkCar(ctx context.Context, w *Writer, carID string) error {
	return checkRef(ctx, w, "car", carID, carExists, carID)
}

// Car gives the current version.
func (r *Reader) Car(ctx context.Context, carID string) (shop.CarVersion, error) {
	return one(ctx, r, "the car", carVersionCurrent, scanner[shop.CarVersion](scanCarVersion).plain, carID)
}

// CarVersions gives every version, oldest first.
func (r *Reader) CarVersions(ctx context.Context, carID string) ([]shop.CarVersion, error) {
	return many(ctx, r, "the versions of a car", carVersionsOfCar, carVersions.scan.plain, carID)
}
