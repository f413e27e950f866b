package desk

import (
	"encoding/json"
	"net/http"
)

// manifest lets a phone keep the desk beside its other programs.
func (d *Desk) manifest(w http.ResponseWriter, _ *http.Request, v visit) error {
	w.Header().Set("Content-Type", assetTypes[".webmanifest"])
	return json.NewEncoder(w).Encode(map[string]any{
		"name": "traystage", "short_name": "traystage", "start_url": "/", "display": "standalone", "lang": v.lang,
		"background_color": "#fbfaf4", "theme_color": "#14352c",
		"icons": []map[string]string{{"src": d.assets.path("mark.svg"), "sizes": "any", "type": "image/svg+xml"}},
	})
}

// worker is the script that keeps the page at hand without the network, where
// the browser allows one: it stands at the top because its reach is its folder.
// What it keeps changes with the assets, so its text does too.
func (d *Desk) worker(w http.ResponseWriter, _ *http.Request, _ visit) error {
	list, err := json.Marshal(d.assets.all())
	if err != nil {
		return err
	}
	body, err := assetFiles.ReadFile("assets/worker.js")
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", assetTypes[".js"])
	_, _ = w.Write([]byte("const assets = " + string(list) + ";\n"))
	_, err = w.Write(body)
	return err
}
