package query

import (
	"context"
	"fmt"

	"witnessmark/shop"
)

const (
	shareSelect = `SELECT id, round_id, token_hash, expires_at, by_whom, received_at, seq FROM share`
	shareInsert = `INSERT INTO share (seq, id, round_id, token_hash, expires_at, by_whom, received_at)
VALUES ($1, $2, $3, $4, $5, $6, $7)`
	shareNotEnded = ` AND NOT EXISTS (SELECT 1 FROM share_end e WHERE e.share_id = share.id)`
	shareByID     = shareSelect + ` WHERE id = $1`
	sharePage     = shareSelect + ` WHERE seq > $1 ORDER BY seq LIMIT $2`
	sharesOfRound = shareSelect + ` WHERE round_id = $1` + shareNotEnded + ` ORDER BY seq`
	shareByToken  = shareSelect + ` WHERE token_hash = $1` + shareNotEnded
	tokenExists   = `SELECT 1 FROM share WHERE token_hash = $1`
)

var shares = kind[shop.ShareFact]{
	name:   "a link",
	insert: shareInsert,
	byID:   shareByID,
	page:   sharePage,
	scan:   scanShare,
	id:     func(f shop.ShareFact) string { return f.ID },
	tidy:   func(f shop.ShareFact) shop.ShareFact { f.ReceivedAt = 0; return f },
	args: func(f shop.ShareFact) ([]any, error) {
		return []any{f.ID, f.RoundID, f.TokenHash, f.ExpiresAt, f.By, f.ReceivedAt}, nil
	},
	check: checkShare,
	wrap:  func(f *shop.ShareFact) shop.Fact { return shop.Fact{Share: f} },
}

// checkShare also refuses a second link with the same token, even a revoked one: it would come back to life.
func checkShare(ctx context.Context, w *Writer, f shop.ShareFact) error {
	if err := checkRound(ctx, w, f.RoundID); err != nil {
		return err
	}
	taken, err := w.exists(ctx, tokenExists, f.TokenHash)
	if err != nil {
		return fmt.Errorf("look for the link: %w", err)
	}
	if taken {
		return fmt.Errorf("another link has this token: %w", shop.ErrConflict)
	}
	return nil
}

func scanShare(r row, seq *int64) (f shop.ShareFact, err error) {
	err = r.Scan(&f.ID, &f.RoundID, &f.TokenHash, &f.ExpiresAt, &f.By, &f.ReceivedAt, seq)
	return f, err
}

// Shares gives a round's links that were not revoked, expired ones too.
func (r *Reader) Shares(ctx context.Context, roundID string) ([]shop.ShareFact, error) {
	return many(ctx, r, "the links of a round", sharesOfRound, shares.scan.plain, roundID)
}

// Share finds a link that was not revoked by the hash of its token.
func (r *Reader) Share(ctx context.Context, tokenHash string) (shop.ShareFact, error) {
	return one(ctx, r, "the link", shareByToken, shares.scan.plain, tokenHash)
}
