package desk

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"maps"
	"net/http"
	"path"
	"slices"
)

//go:embed assets
var assetFiles embed.FS

// assetTypes are the kinds of file that the desk serves.
var assetTypes = map[string]string{
	".css":         "text/css; charset=utf-8",
	".js":          "text/javascript; charset=utf-8",
	".svg":         "image/svg+xml",
	".webmanifest": "application/manifest+json",
}

// assets are the embedded files, in a folder whose name changes with what is in
// any of them: a browser may keep them for ever, and scripts import one another
// by their plain names.
type assets struct {
	folder string            // such as /assets/1a2b3c4d/
	files  map[string][]byte // by address
}

func newAssets() (*assets, error) {
	sum := sha256.New()
	files := map[string][]byte{}
	err := fs.WalkDir(assetFiles, "assets", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		body, err := assetFiles.ReadFile(name)
		sum.Write(body)
		files[path.Base(name)] = body
		return err
	})
	if err != nil {
		return nil, err
	}
	a := &assets{"/assets/" + hex.EncodeToString(sum.Sum(nil)[:4]) + "/", map[string][]byte{}}
	for name, body := range files {
		a.files[a.folder+name] = body
	}
	return a, nil
}

// path is where a page finds an embedded file.
func (a *assets) path(name string) string { return a.folder + name }

// all are the addresses of all files, for the worker that keeps the page at hand
// without the network.
func (a *assets) all() []string { return slices.Sorted(maps.Keys(a.files)) }

func (a *assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	body, ok := a.files[r.URL.Path]
	if !ok {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", assetTypes[path.Ext(r.URL.Path)])
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	_, _ = w.Write(body)
}
