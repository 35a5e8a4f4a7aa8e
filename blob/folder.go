package blob

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"time"

	"witnessmark/shop"
)

// MaxBytes is the size of the largest file that the folder takes and gives back.
const MaxBytes = 32 << 20

// tempPrefix starts the name of a file that is still being written.
const tempPrefix = "part-"

// tempAge is how old an unfinished file must be before it counts as left over: another process may be writing one now.
const tempAge = time.Hour

// ErrDamaged says that a stored file no longer has the content that its name promises.
var ErrDamaged = errors.New("the stored photo is damaged: its content does not match its name")

// Folder keeps photos as files: <first two digits>/<hash>. It never leaves its directory, whatever it is asked for.
type Folder struct {
	root *os.Root
	// fault, set by tests, is asked before every step that touches the disk.
	fault func(step string) error
}

var _ shop.Photos = (*Folder)(nil)

// Open opens the folder, makes it where it is missing, and removes unfinished files more than an hour older than now.
func Open(dir string, now time.Time) (*Folder, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("photo folder: %w", err)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("photo folder: %w", err)
	}
	f := &Folder{root: root}
	if err := f.sweep(now); err != nil {
		root.Close()
		return nil, fmt.Errorf("photo folder: removing unfinished files: %w", err)
	}
	return f, nil
}

// Close lets go of the directory. Photos that were opened before stay readable.
func (f *Folder) Close() error { return f.root.Close() }

// Put stores the bytes and gives their SHA-256 in hex. When it returns, the file and its name are on the disk. The
// same bytes stored twice keep one copy; a damaged copy is replaced.
func (f *Folder) Put(ctx context.Context, data []byte) (string, error) {
	if err := ctx.Err(); err != nil {
		return "", err
	}
	if len(data) == 0 || len(data) > MaxBytes {
		return "", fmt.Errorf("photo of %d bytes: expected 1 to %d", len(data), MaxBytes)
	}
	sum := sha256.Sum256(data)
	hash := hex.EncodeToString(sum[:])
	old, err := f.read(hash)
	if err == nil && bytes.Equal(old, data) {
		// An earlier writer may have died between the rename and the directory's sync.
		return hash, f.settle(hash[:2])
	}
	if err != nil && !errors.Is(err, shop.ErrNotFound) && !errors.Is(err, ErrDamaged) {
		return "", err
	}
	if err := f.write(hash, data); err != nil {
		return "", fmt.Errorf("storing photo %s: %w", hash, err)
	}
	return hash, nil
}

// Get opens a photo. It gives shop.ErrNotFound when there is none and ErrDamaged when the file's content does not have
// the hash; only checked bytes are handed out.
func (f *Folder) Get(ctx context.Context, hash string) (io.ReadCloser, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	data, err := f.read(hash)
	if err != nil {
		return nil, err
	}
	return io.NopCloser(bytes.NewReader(data)), nil
}

// read gives the checked bytes of a photo.
func (f *Folder) read(hash string) ([]byte, error) {
	if !validHash(hash) {
		return nil, fmt.Errorf("photo %q: %w", hash, shop.ErrNotFound)
	}
	if err := f.before("open"); err != nil {
		return nil, err
	}
	file, err := f.root.Open(place(hash))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("photo %s: %w", hash, shop.ErrNotFound)
	}
	if err != nil {
		return nil, err
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("photo %s: %w", hash, err)
	}
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != hash {
		return nil, fmt.Errorf("photo %s: %w", hash, ErrDamaged)
	}
	return data, nil
}

// write makes the file under a name of its own, and gives it its final name once its bytes are on the disk.
func (f *Folder) write(hash string, data []byte) error {
	dir := hash[:2]
	if err := f.before("mkdir"); err != nil {
		return err
	}
	if err := f.root.Mkdir(dir, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	temp := tempPrefix + rand.Text()
	if err := f.fill(temp, data); err != nil {
		f.root.Remove(temp)
		return err
	}
	if err := f.rename(temp, place(hash)); err != nil {
		f.root.Remove(temp)
		return err
	}
	return f.settle(dir)
}

// fill writes a new file and waits until its bytes are on the disk.
func (f *Folder) fill(name string, data []byte) error {
	if err := f.before("create"); err != nil {
		return err
	}
	file, err := f.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	defer file.Close()
	if err := f.before("write"); err != nil {
		return err
	}
	if _, err := file.Write(data); err != nil {
		return err
	}
	if err := f.before("sync"); err != nil {
		return err
	}
	if err := file.Sync(); err != nil {
		return err
	}
	return file.Close()
}

func (f *Folder) rename(from, to string) error {
	if err := f.before("rename"); err != nil {
		return err
	}
	return f.root.Rename(from, to)
}

// settle puts the names in a directory, and the directory's own name, on the disk.
func (f *Folder) settle(dir string) error {
	for _, d := range [...]string{dir, "."} {
		if err := f.before("sync " + d); err != nil {
			return err
		}
		if err := syncDir(f.root, d); err != nil {
			return err
		}
	}
	return nil
}

func (f *Folder) before(step string) error {
	if f.fault == nil {
		return nil
	}
	return f.fault(step)
}

// sweep removes what a killed process left half written.
func (f *Folder) sweep(now time.Time) error {
	entries, err := fs.ReadDir(f.root.FS(), ".")
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.IsDir() || !strings.HasPrefix(e.Name(), tempPrefix) {
			continue
		}
		info, err := e.Info()
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return err
		}
		if now.Sub(info.ModTime()) < tempAge {
			continue
		}
		if err := f.root.Remove(e.Name()); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// place gives the path of a photo below the root.
func place(hash string) string { return hash[:2] + "/" + hash }

// validHash reports whether s is a SHA-256 in lower-case hex, the only thing that names a photo.
func validHash(s string) bool {
	if len(s) != 2*sha256.Size {
		return false
	}
	for i := range len(s) {
		if c := s[i]; (c < '0' || c > '9') && (c < 'a' || c > 'f') {
			return false
		}
	}
	return true
}
