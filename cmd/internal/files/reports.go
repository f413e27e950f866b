package files

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// Job is one photo to be scored and where its report goes.
type Job struct {
	Photo         string
	Page, Overlay string // files to write, empty for none
	Err           error  // why it is not to be done
}

// Jobs lays out the work on all photos before any is begun, so that what a
// job may write does not depend on which is done first: every photo is scored
// once, no report replaces another's, and no file replaces a photo.
func Jobs(photos []string, out string) []Job {
	infos := make([]fs.FileInfo, len(photos)) // nil where there is no such file
	for i, p := range photos {
		infos[i], _ = os.Stat(p)
	}
	jobs := make([]Job, len(photos))
	stems := map[string]string{} // photo that a name in the folder belongs to
	for i, p := range photos {
		j := Job{Photo: p}
		if first := indexOf(infos[i], infos); first < i {
			j.Err = fmt.Errorf("%s: is the same photo as %s, which is scored once; name each photo once", p, photos[first])
		} else if out != "" {
			stem := strings.TrimSuffix(filepath.Base(p), filepath.Ext(p))
			j.Page, j.Overlay = filepath.Join(out, stem+".html"), filepath.Join(out, stem+"_overlay.jpg")
			fold := strings.ToLower(stem) // some disks do not tell capitals apart
			if other, taken := stems[fold]; taken {
				j.Err = fmt.Errorf("%s: its report would overwrite that of %s; score them into separate folders", p, other)
			} else {
				j.Err = sparePhotos(&j, photos, infos)
			}
			stems[fold] = p
		}
		jobs[i] = j
	}
	return jobs
}

// sparePhotos refuses a job that would write its page over one of the photos, and gives its overlay
// a name that no photo has, nor a picture that may be another photo.
func sparePhotos(j *Job, photos []string, infos []fs.FileInfo) error {
	photoAt := func(path string) int {
		there, err := os.Stat(path)
		if err != nil {
			return len(photos) // nothing to overwrite
		}
		return indexOf(there, infos)
	}
	if at := photoAt(j.Page); at < len(photos) {
		return fmt.Errorf("%s: its report would overwrite the photo %s; choose another --out", j.Photo, photos[at])
	}
	j.Overlay = freePicture(j.Overlay, func(path string) bool {
		return photoAt(path) == len(photos) && SparePicture(path, j.Page) == nil
	})
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
