package shop

import (
	"bufio"
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// ExportFormat is the first line's format name; the number rises only when old readers would misread a new file.
const ExportFormat = "witnessmark-facts-1"

// header is the first line of an export.
type header struct {
	Format    string `json:"format"`
	Catalogue string `json:"catalogue"`
}

// line is one line of an export: a fact, or a photo's file.
type line struct {
	Fact
	File *photoFile `json:"photo_file,omitempty"`
}

type photoFile struct {
	Hash string `json:"hash"`
	Data string `json:"data"` // base64
}

// Export writes everything as JSON lines: the header, every fact in an order in which it can be put back, and after
// each photo's fact its file.
func (s *Shop) Export(ctx context.Context, w io.Writer) (int, error) {
	bw := bufio.NewWriterSize(w, 1<<16)
	enc := json.NewEncoder(bw)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(header{ExportFormat, s.cat.Version}); err != nil {
		return 0, err
	}
	n := 0
	written := map[string]bool{}
	err := s.store.View(ctx, func(r Reader) error {
		return r.Each(ctx, func(f Fact) error {
			if f.Photo != nil && !written[f.Photo.Hash] {
				written[f.Photo.Hash] = true
				if err := s.exportFile(ctx, enc, f.Photo.Hash); err != nil {
					return err
				}
			}
			n++
			return enc.Encode(f)
		})
	})
	if err != nil {
		return n, err
	}
	return n, bw.Flush()
}

func (s *Shop) exportFile(ctx context.Context, enc *json.Encoder, hash string) error {
	rc, err := s.photos.Get(ctx, hash)
	if err != nil {
		return fmt.Errorf("photo %s: %w", hash, err)
	}
	defer rc.Close()
	data, err := io.ReadAll(rc)
	if err != nil {
		return fmt.Errorf("photo %s: %w", hash, err)
	}
	return enc.Encode(line{File: &photoFile{hash, base64.StdEncoding.EncodeToString(data)}})
}

// Imported says what an import did.
type Imported struct{ Facts, New, Photos int }

// maxLine bounds one line: a photo of 15 MiB in base64 with room.
const maxLine = 24 << 20

// Import reads an export. It is all or nothing for facts: a bad line leaves nothing behind, and the error names the line.
// Facts that are here already are counted and skipped. Photo files that no fact came to use stay without harm.
func (s *Shop) Import(ctx context.Context, in io.Reader) (Imported, error) {
	var done Imported
	sc := bufio.NewScanner(in)
	sc.Buffer(make([]byte, 1<<16), maxLine)
	err := s.store.Update(ctx, func(w Writer) error {
		n := 0
		for sc.Scan() {
			n++
			text := bytes.TrimSpace(sc.Bytes())
			if n == 1 {
				if err := checkHeader(text); err != nil {
					return err
				}
				continue
			}
			if len(text) == 0 {
				continue
			}
			if err := s.importLine(ctx, w, text, &done); err != nil {
				return fmt.Errorf("line %d: %w", n, err)
			}
		}
		if err := sc.Err(); err != nil {
			if errors.Is(err, bufio.ErrTooLong) {
				err = fmt.Errorf("longer than %d MB", maxLine>>20)
			}
			return fmt.Errorf("line %d: %w", n+1, err)
		}
		if n == 0 {
			return errors.New("line 1: the file is empty; expected a header with format " + ExportFormat)
		}
		return nil
	})
	if err != nil {
		return Imported{}, err
	}
	return done, nil
}

func checkHeader(text []byte) error {
	var h header
	if err := strict(text, &h); err != nil || h.Format != ExportFormat {
		return fmt.Errorf("line 1: expected a header with format %s", ExportFormat)
	}
	return nil
}

func (s *Shop) importLine(ctx context.Context, w Writer, text []byte, done *Imported) error {
	var l line
	if err := strict(text, &l); err != nil {
		return err
	}
	if l.File != nil {
		done.Photos++
		return s.importFile(ctx, l.File)
	}
	if err := l.Fact.Check(); err != nil {
		return err
	}
	created, err := w.Put(ctx, l.Fact)
	if err != nil {
		return err
	}
	if l.Record != nil {
		if err := holds(ctx, w, l.Record); err != nil {
			return err
		}
	}
	done.Facts++
	if created {
		done.New++
	}
	return nil
}

func (s *Shop) importFile(ctx context.Context, f *photoFile) error {
	data, err := base64.StdEncoding.DecodeString(f.Data)
	if err != nil {
		return fmt.Errorf("photo %s: not base64", f.Hash)
	}
	hash, err := s.photos.Put(ctx, data)
	if err == nil && hash != f.Hash {
		err = fmt.Errorf("photo %s: the file's content has hash %s", f.Hash, hash)
	}
	return err
}

// strict decodes one JSON value, a line of an export or the body of a record, without unknown keys and without anything after it.
func strict(text []byte, out any) error {
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.DisallowUnknownFields()
	if err := dec.Decode(out); err != nil {
		return err
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return errors.New("there is more than one value on the line")
	}
	return nil
}
