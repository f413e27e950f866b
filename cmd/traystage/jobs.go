package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"traystage/scoring"
	"traystage/scoring/report"
)

// job is one photo to be scored and where its report goes.
type job struct {
	photo         string
	page, overlay string // files to write, empty for none
	err           error  // why it is not to be done
}

// plan lays out the work on all photos before any is begun, so that what a
// job may write does not depend on which is done first: every photo is scored
// once, no report replaces another's, and no file replaces a photo.
func plan(photos []string, out string) []job {
	infos := make([]fs.FileInfo, len(photos)) // nil where there is no such file
	for i, p := range photos {
		infos[i], _ = os.Stat(p)
	}
	jobs := make([]job, len(photos))
	stems := map[string]string{} // photo that a name in the folder belongs to
	for i, p := range photos {
		j := job{photo: p}
		if first := indexOf(infos[i], infos); first < i {
			j.err = fmt.Errorf("%s: is the same photo as %s, which is scored once; name each photo once", p, photos[first])
		} else if out != "" {
			stem := strings.TrimSuffix(filepath.Base(p), filepath.Ext(p))
			j.page, j.overlay = filepath.Join(out, stem+".html"), filepath.Join(out, stem+"_overlay.jpg")
			if other, taken := stems[stem]; taken {
				j.err = fmt.Errorf("%s: its report would overwrite that of %s; score them into separate folders", p, other)
			} else {
				j.err = sparePhotos(j, photos, infos)
			}
			stems[stem] = p
		}
		jobs[i] = j
	}
	return jobs
}

// sparePhotos refuses a job that would write over one of the photos.
func sparePhotos(j job, photos []string, infos []fs.FileInfo) error {
	for _, path := range []string{j.page, j.overlay} {
		there, err := os.Stat(path)
		if err != nil {
			continue // nothing to overwrite
		}
		if at := indexOf(there, infos); at < len(photos) {
			return fmt.Errorf("%s: its report would overwrite the photo %s; choose another --out", j.photo, photos[at])
		}
	}
	return nil
}

// indexOf is the place of the first of the files that is this one, or their number.
func indexOf(file fs.FileInfo, files []fs.FileInfo) int {
	for i, f := range files {
		if os.SameFile(file, f) {
			return i
		}
	}
	return len(files)
}

// writeReport writes a page and the overlay that it shows.
func writeReport(page, overlay string, r scoring.Report, pics report.Pictures) error {
	var b bytes.Buffer
	if err := report.WriteHTML(&b, r, pics); err != nil {
		return fmt.Errorf("%s: %w", page, err)
	}
	if err := writeFile(overlay, pics.Overlay); err != nil {
		return err
	}
	return writeFile(page, b.Bytes())
}
