# Every target sets the machine up first, where something is missing.
# "make test" runs the same checks here and on the build machine.

SHELL := /bin/bash
.NOTPARALLEL:
.DEFAULT_GOAL := help
.DELETE_ON_ERROR:

# The set-up puts a Go here where the machine's own is too old.
export PATH := $(CURDIR)/.cache/go/bin:$(PATH)

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
test: fmt vet lint unit leaks ## run every check: fmt, vet, lint, unit, leaks

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

.PHONY: unit
unit: setup ## all tests; where no C is reached, under the race detector
	go test $(WITH_C)
	go test -race $(WITHOUT_C)

.PHONY: imports
imports: setup ## of these, only: which package may know which, what lies where
	go test -run '^TestStructure' ./cmd/traystage

.PHONY: leaks
leaks: setup ## tests that count the OpenCV memory left open
	@files=$$(grep -rl --include='*_test.go' '^//go:build matprofile' vision cmd); \
	if [ -z "$$files" ]; then echo "no test counts open OpenCV memory"; exit 1; fi; \
	tests=$$(sed -n 's/^func \(Test[A-Za-z0-9_]*\).*/\1/p' $$files | paste -sd'|'); \
	set -x; go test -tags matprofile -run "^($$tests)$$" $$(dirname $$files | sort -u | sed 's|^|./|')

.PHONY: fuzz
fuzz: setup ## each fuzz target for FUZZTIME (30s)
	@grep -rHo --include='*_test.go' '^func Fuzz[A-Za-z0-9_]*' cmd vision calibrate scoring refimages | \
	while IFS=: read -r file line; do \
	  echo "$${line#func } in $$(dirname "$$file")"; \
	  go test -run '^$$' -fuzz "^$${line#func }$$" -fuzztime $(FUZZTIME) "./$$(dirname "$$file")" </dev/null || exit 1; \
	done

.PHONY: bench
bench: setup ## all benchmarks
	go test -run '^$$' -bench . -benchmem ./...

.PHONY: accuracy
accuracy: setup ## measure photos of known truth and print the errors
	nice go run -buildvcs=false ./cmd/accuracy
	nice go test -run '^$$' -bench BenchmarkMeasure ./vision

.PHONY: clean
clean: ## remove what the targets above made in this folder
	rm -rf bin demo .cache
