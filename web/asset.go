package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"
)

//go:embed static
var staticFiles embed.FS

// assets are the static files under names that carry a hash of their content, so that they may be cached for ever.
type assets struct {
	url  map[string]string // app.css -> /static/app.1a2b3c4d.css
	body map[string][]byte // by the name under /static/
}

// loadAssets reads and names the embedded files.
func loadAssets() (*assets, error) {
	a := &assets{url: map[string]string{}, body: map[string][]byte{}}
	files, err := fs.ReadDir(staticFiles, "static")
	if err != nil {
		return nil, err
	}
	for _, f := range files {
		data, err := staticFiles.ReadFile("static/" + f.Name())
		if err != nil {
			return nil, err
		}
		sum := sha256.Sum256(data)
		ext := path.Ext(f.Name())
		name := strings.TrimSuffix(f.Name(), ext) + "." + hex.EncodeToString(sum[:5]) + ext
		a.url[f.Name()] = "/static/" + name
		a.body[name] = data
	}
	return a, nil
}

// serve answers with a static file.
func (a *assets) serve(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("file")
	data, ok := a.body[name]
	if !ok {
		http.Error(w, "no such file", http.StatusNotFound)
		return
	}
	w.Header().Set("Content-Type", mime.TypeByExtension(path.Ext(name)))
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	_, _ = w.Write(data)
}
