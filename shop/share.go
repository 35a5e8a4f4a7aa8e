package shop

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"strings"
	"time"
)

// tokenLetters leaves out what is easily confused when a link is read aloud. 32 letters carry 5 bits each.
const tokenLetters = "abcdefghijkmnpqrstuvwxyz23456789"

// tokenLength gives 26 x 5 = 130 bits, above the 120 that the W3C's note on capability URLs asks for.
const tokenLength = 26

// newToken makes an unguessable token from the system's secure source.
func newToken() string {
	b := make([]byte, tokenLength)
	rand.Read(b) // never fails: crypto/rand ends the program instead
	for i, x := range b {
		b[i] = tokenLetters[int(x)%len(tokenLetters)]
	}
	return string(b)
}

// hashToken is what the store keeps of a token.
func hashToken(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// Limits of a link's life in days.
const (
	DefaultShareDays = 30
	MaxShareDays     = 365
)

// Share makes a link for an owner to a round's report. The token is given once and never stored. Sending the same form
// again (the same id) is ErrConflict, because the token can't be shown a second time.
func (s *Shop) Share(ctx context.Context, roundID, id, by string, days int) (string, ShareFact, error) {
	if days <= 0 || days > MaxShareDays {
		days = DefaultShareDays
	}
	token := newToken()
	now := s.now()
	f := ShareFact{ID: id, RoundID: roundID, TokenHash: hashToken(token), ExpiresAt: ms(now.Add(time.Duration(days) * 24 * time.Hour)), By: squeeze(by), ReceivedAt: ms(now)}
	return token, f, s.store.Update(ctx, func(w Writer) error {
		if _, err := roundOf(ctx, w, roundID); err != nil {
			return err
		}
		_, err := w.Put(ctx, Fact{Share: &f})
		return err
	})
}

// Shares lists a round's links that still open the report.
func (s *Shop) Shares(ctx context.Context, roundID string) (out []ShareFact, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		all, err := r.Shares(ctx, roundID)
		for _, f := range all {
			if f.ExpiresAt > ms(s.now()) {
				out = append(out, f)
			}
		}
		return err
	})
	return out, err
}

// Revoke ends a link.
func (s *Shop) Revoke(ctx context.Context, id, shareID, by string) error {
	return s.put(ctx, Fact{ShareEnd: &ShareEnd{ID: id, ShareID: shareID, By: squeeze(by), ReceivedAt: ms(s.now())}})
}

// OpenShare gives the report behind a link. An expired, a revoked and an unknown link are all ErrGone.
func (s *Shop) OpenShare(ctx context.Context, token string) (*Report, ShareFact, error) {
	f, err := s.openShare(ctx, token)
	if err != nil {
		return nil, f, err
	}
	r, err := s.Report(ctx, f.RoundID)
	return r, f, err
}

func (s *Shop) openShare(ctx context.Context, token string) (ShareFact, error) {
	var f ShareFact
	err := s.store.View(ctx, func(r Reader) (err error) {
		f, err = r.Share(ctx, hashToken(strings.ToLower(strings.TrimSpace(token))))
		return err
	})
	if errors.Is(err, ErrNotFound) || err == nil && f.ExpiresAt <= ms(s.now()) {
		return ShareFact{}, ErrGone
	}
	return f, err
}

// SharedPhoto opens a photo that belongs to the report behind a link, and no other.
func (s *Shop) SharedPhoto(ctx context.Context, token, hash string) (io.ReadCloser, error) {
	f, err := s.openShare(ctx, token)
	if err != nil {
		return nil, err
	}
	err = s.store.View(ctx, func(r Reader) error {
		all, err := r.Photos(ctx, f.RoundID)
		if err != nil {
			return err
		}
		for _, p := range photosNow(all) {
			if p.Hash == hash {
				return nil
			}
		}
		return ErrNotFound
	})
	if err != nil {
		return nil, err
	}
	return s.photos.Get(ctx, hash)
}
