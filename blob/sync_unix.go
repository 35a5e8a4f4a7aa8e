//go:build !windows

package blob

import "os"

// syncDir puts a directory's entries on the disk.
func syncDir(root *os.Root, dir string) error {
	d, err := root.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
