package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
	"traystage/cmd/internal/grades"
	"traystage/cmd/internal/workbench"
)

// gradedFlags name a photo whose halves somebody knows the stages of.
type gradedFlags struct {
	photo  string
	stages string // a list or the name of a file
}

func (g *gradedFlags) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&g.photo, "photo", "", "`PHOTO` of the halves")
	cmd.Flags().StringVar(&g.stages, "stages", "", "their stages in reading order: a `LIST` such as 1,2,,3.5 (blank: not graded) or a CSV file with one a row")
}

func (g gradedFlags) check() error {
	if g.photo == "" || g.stages == "" {
		return fault.Usagef("--photo and --stages are both needed, as in --photo chart.jpg --stages 1,2,3,4,5,6,7,8")
	}
	return nil
}

// read reads the stages; the photo is read when it is measured.
func (g gradedFlags) read() (workbench.GradedPhoto, error) {
	gradings, err := grades.Read(g.stages)
	return workbench.GradedPhoto{Photo: workbench.PhotoFile(g.photo), Gradings: gradings}, err
}

// told writes the picture of how halves are numbered, which some errors come with,
// beside the photo. Where that cannot be written, the error stands alone.
func (g gradedFlags) told(err error) error {
	var misnumbered workbench.Misnumbered
	if !errors.As(err, &misnumbered) {
		return err
	}
	picture := strings.TrimSuffix(g.photo, filepath.Ext(g.photo)) + "_numbering.jpg"
	return withPicture(err, picture, misnumbered.Picture, "for how the halves are numbered; stages are given in that order")
}

// withPicture writes the picture that an error comes with, and hints what it is for. Where it
// cannot be written, the error stands alone.
func withPicture(err error, path string, picture []byte, what string) error {
	path = files.FreePicture(path)
	if files.WritePicture(path, picture) != nil {
		return err
	}
	return fault.WithHint(err, fmt.Sprintf("see %s %s", path, what))
}
