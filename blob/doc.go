// Package blob keeps photos in a folder, each under the SHA-256 of its content, so that a file can always be checked
// against its own name.
package blob
