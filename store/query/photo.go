package query

import (
	"context"

	"witnessmark/shop"
)

const (
	photoSelect = `SELECT id, round_id, point, place, hash, width, height, withdrawn, by_whom, received_at, seq FROM photo`
	photoInsert = `INSERT INTO photo (seq, id, round_id, point, place, hash, width, height, withdrawn, by_whom, received_at)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`
	photoByID     = photoSelect + ` WHERE id = $1`
	photoPage     = photoSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
	photosOfRound = photoSelect + ` WHERE round_id = $1 ORDER BY seq`
	photoByHash   = photoSelect + ` WHERE hash = $1 ORDER BY seq DESC LIMIT 1`
)

var photos = kind[shop.PhotoFact]{
	name:   "a photo",
	insert: photoInsert,
	byID:   photoByID,
	page:   photoPage,
	scan:   scanPhoto,
	id:     func(f shop.PhotoFact) string { return f.ID },
	tidy:   func(f shop.PhotoFact) shop.PhotoFact { f.ReceivedAt = 0; return f },
	args: func(f shop.PhotoFact) ([]any, error) {
		return []any{f.ID, f.RoundID, f.Point, f.At, f.Hash, f.Width, f.Height, f.Withdrawn, f.By, f.ReceivedAt}, nil
	},
	check: func(ctx context.Context, w *Writer, f shop.PhotoFact) error { return checkRound(ctx, w, f.RoundID) },
	wrap:  func(f *shop.PhotoFact) shop.Fact { return shop.Fact{Photo: f} },
}

func scanPhoto(r row, seq *int64) (f shop.PhotoFact, err error) {
	err = r.Scan(&f.ID, &f.RoundID, &f.Point, &f.At, &f.Hash, &f.Width, &f.Height, &f.Withdrawn, &f.By, &f.ReceivedAt, seq)
	return f, err
}

// Photos gives every photo fact of a round in order of arrival, those that withdraw one too.
func (r *Reader) Photos(ctx context.Context, roundID string) ([]shop.PhotoFact, error) {
	return many(ctx, r, "the photos of a round", photosOfRound, photos.scan.plain, roundID)
}

// Photo finds the newest fact with a hash, even one that withdraws the photo.
func (r *Reader) Photo(ctx context.Context, hash string) (shop.PhotoFact, error) {
	return one(ctx, r, "the photo", photoByHash, photos.scan.plain, hash)
}
