package query

import (
	"context"

	"witnessmark/shop"
)

const (
	shareEndSelect = `SELECT id, share_id, by_whom, received_at, seq FROM share_end`
	shareEndInsert = `INSERT INTO share_end (seq, id, share_id, by_whom, received_at) VALUES ($1, $2, $3, $4, $5)`
	shareEndByID   = shareEndSelect + ` WHERE id = $1`
	shareEndPage   = shareEndSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
	shareExists    = `SELECT 1 FROM share WHERE id = $1`
)

var shareEnds = kind[shop.ShareEnd]{
	name:   "the end of a link",
	insert: shareEndInsert,
	byID:   shareEndByID,
	page:   shareEndPage,
	scan:   scanShareEnd,
	id:     func(f shop.ShareEnd) string { return f.ID },
	tidy:   func(f shop.ShareEnd) shop.ShareEnd { f.ReceivedAt = 0; return f },
	args: func(f shop.ShareEnd) ([]any, error) {
		return []any{f.ID, f.ShareID, f.By, f.ReceivedAt}, nil
	},
	check: func(ctx context.Context, w *Writer, f shop.ShareEnd) error {
		return checkRef(ctx, w, "link", f.ShareID, shareExists, f.ShareID)
	},
	wrap: func(f *shop.ShareEnd) shop.Fact { return shop.Fact{ShareEnd: f} },
}

func scanShareEnd(r row, seq *int64) (f shop.ShareEnd, err error) {
	err = r.Scan(&f.ID, &f.ShareID, &f.By, &f.ReceivedAt, seq)
	return f, err
}
