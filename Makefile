# Every check that the project's automation runs is a target here.
BUF         = .ci/buf
STATICCHECK = go tool -modfile=proto/tool.mod staticcheck

# The race detector needs a C compiler; where there is none, go switches cgo off.
RACE = $(if $(filter 1,$(shell go env CGO_ENABLED)),-race)

.PHONY: build core dist check test fuzz lint breaking narrow generate check-generated bench mutate demo

build: core
	mkdir -p bin
	go build -o bin/kinorder ./client/cmd/kinorder

# What plans on phones without signal. The program takes it in when it is there.
core:
	.ci/core

# What is given to people, in dist/, unpacked and run. TARGETS="linux/amd64" builds some only.
dist:
	.ci/dist $(TARGETS)
	.ci/try-dist

# What to run before every commit: no race detector, no browser, fewer random cases. Lint has vetted all of it, so
# that no run of the tests does it again.
check: lint
	go test -vet=off -short ./...

# Everything, then once more under the race detector what is short in the packages that start goroutines or share
# something among them, but what says that it computes alone (needs.Alone). The detector makes computing ten times as slow, and
# memory is not measured under it.
GOROUTINES = $$(grep -rlE --include=*.go '^\s*go [a-zA-Z]|\.Go\(|"sync(/atomic)?"|"testing/synctest"|\bchan\b|t\.Parallel|httptest\.NewServer' . | grep -v '^./proto' | xargs -n1 dirname | sort -u)

test:
	.ci/with-postgres go test -vet=off -shuffle=on ./...
	@$(if $(RACE),:,echo "No C compiler: nothing is run under the race detector.")
	$(if $(RACE),.ci/with-postgres go test -race -vet=off -short -shuffle=on $(GOROUTINES))

# Every fuzz target of the tree for so long. Making a find smaller may take fifty tries and no minute.
FUZZTIME = 1m

fuzz:
	@grep -roE --include='*_test.go' '^func Fuzz[A-Za-z0-9_]+' . | sed 's|/[^/]*:func | |' | sort | while read -r package target; do \
		echo "$$package $$target"; \
		go test "$$package" -run '^$$' -fuzz "^$$target\$$" -fuzztime $(FUZZTIME) -fuzzminimizetime 50x </dev/null || exit 1; \
	done

lint:
	@unformatted=$$(gofmt -l .) && test -z "$$unformatted" || { echo "run gofmt -w on: $$unformatted"; exit 1; }
	go vet ./...
	$(STATICCHECK) ./...
	$(BUF) lint

# The contract must not break for those who call a server of the last version.
breaking:
	$(BUF) breaking

# The program is built for machines of 32 bits, where a constant may be too large for an int.
narrow:
	@for arch in arm 386; do echo "GOARCH=$$arch"; CGO_ENABLED=0 GOARCH=$$arch go build -o /dev/null ./client/cmd/kinorder || exit 1; done
	GOOS=js GOARCH=wasm go vet ./server/internal/web/phone/core

generate:
	$(BUF) generate --template proto/buf.gen.yaml

# Generated files must be what the sources generate. The work tree is not touched.
check-generated:
	@fresh=$$(mktemp -d) && trap 'rm -rf "$$fresh"' EXIT && \
	$(BUF) generate --template proto/buf.gen.yaml -o "$$fresh" && \
	diff -ru -x '*.proto' -x 'buf*' -x 'tool.*' -x openapi.go -x README.md proto "$$fresh/proto" || \
	{ echo "generated files differ: run make generate and commit"; exit 1; }

bench:
	go test ./solver -run '^$$' -bench 'Files|Families' -benchtime 1x -timeout 2h -budget=1m -workers=2
	go test ./solver -run '^$$' -bench 'Ladder|Tree|Descend|Solve|Replan'
	go test ./server/internal/planning -run '^$$' -bench 'Estimate'
	go test ./server/internal/intake ./server/internal/drawing ./server/internal/planning -run '^$$' -bench 'Hostile' -benchtime 1x
	go test ./server -run '^$$' -bench 'PlansOfTwenty|ReplanWhile' -benchtime 300x
	KINORDER_DAYS=1000 go test -run DaysOfAllKinds -v -timeout 6h ./server/internal/run
	KINORDER_STORIES=600 go test -run WithoutSignalDoAsWell -v -timeout 1h ./server/internal/run
	KINORDER_FIGURES=1 go test -run Figures -v ./server/internal/web/phone

# Breaks the solver in many places, one at a time, and fails when a break goes unnoticed.
mutate:
	go run ./solver/cmd/mutate

demo: build
	@mkdir -p demo
	@bin/kinorder plan testdata/harbour-wedding.yaml --sheet pocket
	@bin/kinorder plan testdata/harbour-wedding.yaml -o demo/harbour-wedding.html
	@echo "The same as a page to print: demo/harbour-wedding.html"
