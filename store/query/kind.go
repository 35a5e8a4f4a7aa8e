package query

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"witnessmark/shop"
)

// kind is what putting and streaming need to know of one kind of fact.
type kind[T any] struct {
	name   string // as in a sentence: "a reading"
	insert string // parameters: seq, then args
	byID   string
	page   string // facts after a seq, at most so many, in order of seq
	scan   scanner[T]
	id     func(T) string
	// tidy gives the fact without what the store and the server add, to compare by content.
	tidy func(T) T
	args func(T) ([]any, error)
	// check finds out whether the fact can be kept: what it refers to must exist. It changes nothing.
	check func(context.Context, *Writer, T) error
	// after keeps read models; nil when none is concerned.
	after func(context.Context, *Writer, T) error
	wrap  func(*T) shop.Fact
}

// scanner reads a fact and its seq, which every select list ends with.
type scanner[T any] func(r row, seq *int64) (T, error)

// plain reads a fact when nobody asks for its seq.
func (s scanner[T]) plain(r row) (T, error) {
	var seq int64
	return s(r, &seq)
}

// put adds a fact once. Everything that can be wrong with it is found out before the first change.
func put[T any](ctx context.Context, w *Writer, k *kind[T], f T) (created bool, err error) {
	if w.broken != nil {
		return false, w.broken
	}
	if err := sound(k.id(f), f); err != nil {
		return false, err
	}
	args, err := k.args(f)
	if err != nil {
		return false, fmt.Errorf("write %s: %w", k.name, err)
	}
	old, err := one(ctx, w.Reader, k.name, k.byID, k.scan.plain, k.id(f))
	if err == nil {
		return false, same(k, old, f)
	}
	if !errors.Is(err, shop.ErrNotFound) {
		return false, err
	}
	if err := k.check(ctx, w, f); err != nil {
		return false, err
	}
	seq, err := w.arrival(ctx)
	if err != nil {
		return false, err
	}
	if err := w.exec(ctx, k.name, k.insert, append([]any{seq}, args...)...); err != nil {
		return false, err
	}
	if k.after != nil {
		if err := k.after(ctx, w, f); err != nil {
			return false, err
		}
	}
	return true, nil
}

// same is nil when both facts say the same and shop.ErrConflict otherwise. When the server got them does not count:
// a phone that heard no answer sends its fact again later.
func same[T any](k *kind[T], old, f T) error {
	a, err := json.Marshal(k.tidy(old))
	if err != nil {
		return fmt.Errorf("compare %s: %w", k.name, err)
	}
	b, err := json.Marshal(k.tidy(f))
	if err != nil {
		return fmt.Errorf("compare %s: %w", k.name, err)
	}
	if !bytes.Equal(a, b) {
		return fmt.Errorf("%s with the id %q says something else: %w", k.name, k.id(f), shop.ErrConflict)
	}
	return nil
}

// pageSize is how many facts are in memory at once while all are streamed.
const pageSize = 500

// each streams the facts of one kind. It reads page by page, so that f may ask the same reader other things.
func each[T any](ctx context.Context, r *Reader, k *kind[T], f func(shop.Fact) error) error {
	type line struct {
		seq  int64
		fact T
	}
	scan := func(r row) (l line, err error) {
		l.fact, err = k.scan(r, &l.seq)
		return l, err
	}
	after := int64(0)
	for {
		page, err := many(ctx, r, k.name, k.page, scan, after, pageSize)
		if err != nil {
			return err
		}
		for i := range page {
			if err := f(k.wrap(&page[i].fact)); err != nil {
				return err
			}
		}
		if len(page) < pageSize {
			return nil
		}
		after = page[len(page)-1].seq
	}
}
