package shop

import (
	"context"
	"io"
)

// PhotoInput attaches a photo that was made ready (see the photo package: decoded, turned, without metadata).
type PhotoInput struct {
	ID, RoundID, Point, At, By string
	JPEG                       []byte
	Width, Height              int
}

// maxPhotos bounds the photos of one round.
const maxPhotos = 200

// AddPhoto stores the file first and then the fact, so that no fact is ever without its file.
func (s *Shop) AddPhoto(ctx context.Context, in PhotoInput) (PhotoFact, error) {
	f := PhotoFact{ID: in.ID, RoundID: in.RoundID, Point: in.Point, At: in.At, Width: in.Width, Height: in.Height, By: squeeze(in.By), ReceivedAt: ms(s.now())}
	if s.cat.Point(in.Point) == nil {
		return f, Invalid{{Field: "photo", Text: "There is no such point in the catalogue."}}
	}
	err := s.store.View(ctx, func(r Reader) error {
		if _, err := roundOf(ctx, r, in.RoundID); err != nil {
			return err
		}
		have, err := r.Photos(ctx, in.RoundID)
		if err == nil && len(photosNow(have)) >= maxPhotos {
			err = Invalid{{Field: "photo", Text: "This round has 200 photos already."}}
		}
		return err
	})
	if err != nil {
		return f, err
	}
	if f.Hash, err = s.photos.Put(ctx, in.JPEG); err != nil {
		return f, err
	}
	return f, s.put(ctx, Fact{Photo: &f})
}

// RemovePhoto takes a photo off a round; the fact that it was there stays.
func (s *Shop) RemovePhoto(ctx context.Context, id, roundID, hash, by string) error {
	return s.store.Update(ctx, func(w Writer) error {
		have, err := w.Photos(ctx, roundID)
		if err != nil {
			return err
		}
		for _, p := range photosNow(have) {
			if p.Hash != hash {
				continue
			}
			p.ID, p.Withdrawn, p.By, p.ReceivedAt = id, true, squeeze(by), ms(s.now())
			if _, err := w.Put(ctx, Fact{Photo: &p}); err != nil {
				return err
			}
		}
		return nil
	})
}

// photosNow drops photos that were taken off. A withdrawal counts for the same hash, point and place.
func photosNow(all []PhotoFact) []PhotoFact {
	key := func(p PhotoFact) [3]string { return [3]string{p.Hash, p.Point, p.At} }
	on := map[[3]string]bool{}
	for _, p := range all {
		on[key(p)] = !p.Withdrawn
	}
	var out []PhotoFact
	for _, p := range all {
		if on[key(p)] && !p.Withdrawn {
			out = append(out, p)
			on[key(p)] = false // once, though it was attached twice
		}
	}
	return out
}

// PhotoFile opens a photo for the workshop.
func (s *Shop) PhotoFile(ctx context.Context, hash string) (io.ReadCloser, PhotoFact, error) {
	var f PhotoFact
	err := s.store.View(ctx, func(r Reader) (err error) {
		f, err = r.Photo(ctx, hash)
		return err
	})
	if err != nil {
		return nil, f, err
	}
	rc, err := s.photos.Get(ctx, hash)
	return rc, f, err
}
