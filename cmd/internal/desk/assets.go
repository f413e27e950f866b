package desk

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"net/http"
	"path"
	"strings"
)

//go:embed assets
var assetFiles embed.FS

// assetTypes are the kinds of file that the desk serves.
var assetTypes = map[string]string{
	".css":         "text/css; charset=utf-8",
	".js":          "text/javascript; charset=utf-8",
	".svg":         "image/svg+xml",
	".png":         "image/png",
	".woff2":       "font/woff2",
	".webmanifest": "application/manifest+json",
}

// asset is one embedded file under a name that changes with what is in it, so
// that a browser may keep it for ever.
type asset struct {
	body []byte
	kind string
}

type assets struct {
	hashed map[string]string // name to path, as in desk.css to /assets/desk.1a2b3c4d.css
	files  map[string]asset  // by path
}

func newAssets() (*assets, error) {
	a := &assets{hashed: map[string]string{}, files: map[string]asset{}}
	err := fs.WalkDir(assetFiles, "assets", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		body, err := assetFiles.ReadFile(name)
		if err != nil {
			return err
		}
		sum := sha256.Sum256(body)
		ext, base := path.Ext(name), path.Base(name)
		url := "/assets/" + strings.TrimSuffix(base, ext) + "." + hex.EncodeToString(sum[:4]) + ext
		a.hashed[base] = url
		a.files[url] = asset{body, assetTypes[ext]}
		return nil
	})
	return a, err
}

// path is where a page finds an embedded file; empty for a name there is not.
func (a *assets) path(name string) string { return a.hashed[name] }

// all are the paths of all files, for the worker that keeps the page at hand without the network.
func (a *assets) all() []string {
	var out []string
	for p := range a.files {
		out = append(out, p)
	}
	return out
}

func (a *assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	f, ok := a.files[r.URL.Path]
	if !ok {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", f.kind)
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	_, _ = w.Write(f.body)
}
