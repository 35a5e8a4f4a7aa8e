//go:build unix

package sqlite

import (
	"errors"
	"os"
)

// syncDir makes a new name in a directory survive a power cut.
func syncDir(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
