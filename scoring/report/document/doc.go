// Package document renders a report in every form that people and programs
// take it in, from one value:
//
//   - WriteText: for the terminal, 80 columns wide, the parts marked as brief.
//   - WriteHTML: one self-contained page to read on a phone or print.
//   - WritePDF: the same on A4.
//   - WriteCSV, WriteXLSX, WriteJSON: the figures.
//
// A Document is made of sections, these of parts: an answer, facts, tables,
// lists, charts and pictures. Every figure is a Cell, made once, rounded once
// and taken by all forms, so that no two of them can tell different figures.
//
// The package knows paper and screens, not apples; package report says what
// stands in a document. It opens no file, asks no clock and writes nothing
// before the whole is rendered: what fails leaves nothing half written. The
// same value gives the same bytes.
package document
