# Every check that the project's automation runs is a target here.
BUF         = go tool -modfile=proto/tool.mod buf
STATICCHECK = go tool -modfile=proto/tool.mod staticcheck

# The race detector needs a C compiler; where there is none, go switches cgo off.
RACE = $(if $(filter 1,$(shell go env CGO_ENABLED)),-race)

.PHONY: build test lint generate check-generated bench mutate demo

build:
	mkdir -p bin
	go build -o bin/kinorder ./client/cmd/kinorder

test:
	@$(if $(RACE),:,echo "No C compiler: the tests run without the race detector.")
	.ci/with-postgres go test $(RACE) -shuffle=on ./...

lint:
	@unformatted=$$(gofmt -l .) && test -z "$$unformatted" || { echo "run gofmt -w on: $$unformatted"; exit 1; }
	go vet ./...
	$(STATICCHECK) ./...
	$(BUF) lint proto

generate:
	$(BUF) generate --template proto/buf.gen.yaml proto

# Generated files must be what the sources generate. The work tree is not touched.
check-generated:
	@fresh=$$(mktemp -d) && trap 'rm -rf "$$fresh"' EXIT && \
	$(BUF) generate --template proto/buf.gen.yaml -o "$$fresh" proto && \
	diff -ru -x '*.proto' -x 'buf*' -x 'tool.*' proto "$$fresh/proto" || \
	{ echo "generated files differ: run make generate and commit"; exit 1; }

# Talent scheduling instances are not part of the repository: TALENT is their folder, if there is one.
TALENT = $(or $(KINORDER_TALENT),../shared/benchmarks/talent)

bench:
	go run ./solver/cmd/orderbench -table -workers 2 testdata/lists/*.json testdata/groupings/*.json \
		testdata/blocks/*.json $(wildcard $(TALENT)/*.json)
	go test -run '^$$' -bench . ./solver

# Breaks the solver in many places, one at a time, and fails when a break goes unnoticed.
mutate:
	go run ./solver/cmd/mutate

demo: build
	@mkdir -p demo
	@bin/kinorder plan testdata/harbour-wedding.yaml
	@bin/kinorder plan testdata/harbour-wedding.yaml -o demo/harbour-wedding.html
	@echo "The same as a page to print: demo/harbour-wedding.html"
