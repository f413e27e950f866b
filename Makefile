# Every target sets the machine up first, where something is missing.
# "make test" runs the same checks here and on the build machine.

SHELL := /bin/bash
.NOTPARALLEL:
.DEFAULT_GOAL := help
.DELETE_ON_ERROR:

# The set-up puts a Go here where the machine's own is too old.
export PATH := $(CURDIR)/.cache/go/bin:$(PATH)

# Only what is called of OpenCV is kept and only the libraries that hold it are loaded: 22
# instead of 264, of which a process that does nothing else needs a fifth of a second. customenv makes gocv
# take these flags instead of all of OpenCV's. nodynamic keeps photos from a libheif of this machine.
TAGS := nodynamic,customenv
SECTIONS := -O2 -ffunction-sections -fdata-sections
export GOFLAGS := $(strip $(GOFLAGS) -tags=$(TAGS))
export CGO_CFLAGS := $(SECTIONS)
export CGO_CXXFLAGS = $(SECTIONS) --std=c++11 $(shell pkg-config --cflags opencv4 2>/dev/null)
export CGO_LDFLAGS = -O2 $(shell pkg-config --libs-only-L opencv4 2>/dev/null) -Wl,--gc-sections -lopencv_imgproc -lopencv_core
# Tests also write photos, which takes one library more.
TEST := test -ldflags=-extldflags=-lopencv_imgcodecs

# The race detector sees nothing of what C does.
WITH_C := ./cmd/... ./vision ./vision/internal/...
WITHOUT_C := ./vision/zones/... ./calibrate/... ./scoring/... ./refimages/...
FUZZTIME := 30s

.PHONY: help
help: ## list the targets
	@sed -n 's/^\([a-z]*\):.*## /\1\t/p' Makefile | expand -t 12

.PHONY: setup
setup: ## install what is missing: compiler, OpenCV, Go (Debian, Ubuntu; root or sudo)
	@.ci/setup

.PHONY: build
build: setup ## build bin/traystage
	go build -buildvcs=false -o bin/traystage ./cmd/traystage

.PHONY: demo
demo: build ## build, then score the demo tray of Larkfield and write its report into demo/
	bin/traystage demo --out demo

.PHONY: test
test: fmt vet lint unit leaks whole ## run every check: fmt, vet, lint, unit, leaks, whole

.PHONY: fmt
fmt: setup ## fail where a file is not as gofmt has it
	@echo gofmt -l
	@files=$$(gofmt -l cmd vision calibrate scoring refimages); \
	  if [ -n "$$files" ]; then echo "not as gofmt has it: run gofmt -w on" $$files; exit 1; fi

.PHONY: vet
vet: setup ## go vet
	go vet ./...

.PHONY: lint
lint: setup ## staticcheck
	go tool staticcheck ./...

.PHONY: page
page: setup ## install what the tests of the page need: a browser, axe-core
	@.ci/page/setup

.PHONY: unit
unit: setup page ## all tests; where no C is reached, under the race detector
	go $(TEST) $(WITH_C)
	go test -race $(WITHOUT_C)

.PHONY: imports
imports: setup ## of these, only: which package may know which, what lies where
	go $(TEST) -run '^TestStructure' ./cmd/traystage

.PHONY: leaks
leaks: setup ## tests that count the OpenCV memory left open
	@files=$$(grep -rl --include='*_test.go' '^//go:build matprofile' vision cmd); \
	if [ -z "$$files" ]; then echo "no test counts open OpenCV memory"; exit 1; fi; \
	tests=$$(sed -n 's/^func \(Test[A-Za-z0-9_]*\).*/\1/p' $$files | paste -sd'|'); \
	set -x; go $(TEST) -tags matprofile,$(TAGS) -run "^($$tests)$$" $$(dirname $$files | sort -u | sed 's|^|./|')

.PHONY: whole
whole: setup ## the tests that ask parts of OpenCV which the program leaves out
	env -u CGO_CFLAGS -u CGO_CXXFLAGS -u CGO_LDFLAGS GOFLAGS=-tags=nodynamic,wholecv go test -run '^Test(Radial|Split)IsOpenCVs$$' ./vision/internal/stain

.PHONY: fuzz
# Goroutines make what an input covers differ from run to run, so that the
# shortening of an input may never succeed: it is given a second, not a minute.
fuzz: setup ## each fuzz target for FUZZTIME (30s)
	@grep -rHo --include='*_test.go' '^func Fuzz[A-Za-z0-9_]*' cmd vision calibrate scoring refimages | \
	while IFS=: read -r file line; do \
	  echo "$${line#func } in $$(dirname "$$file")"; \
	  go $(TEST) -run '^$$' -fuzz "^$${line#func }$$" -fuzztime $(FUZZTIME) -fuzzminimizetime 1s "./$$(dirname "$$file")" </dev/null || exit 1; \
	done

.PHONY: bench
bench: setup ## all benchmarks
	go $(TEST) -run '^$$' -bench . -benchmem ./...

.PHONY: accuracy
accuracy: setup ## measure photos of known truth and print the errors
	nice go run -buildvcs=false ./cmd/accuracy
	nice go test -run '^$$' -bench BenchmarkMeasure ./vision

.PHONY: clean
clean: ## remove what the targets above made in this folder
	rm -rf bin demo .cache
