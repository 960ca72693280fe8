# Every check that the project's automation runs is a target here.
BUF         = go tool -modfile=proto/tool.mod buf
STATICCHECK = go tool -modfile=proto/tool.mod staticcheck

.PHONY: build test lint generate check-generated bench demo

build:
	mkdir -p bin
	go build -o bin/kinorder ./client/cmd/kinorder

test:
	go test -race -shuffle=on ./...

lint:
	@unformatted=$$(gofmt -l $$(git ls-files '*.go')); test -z "$$unformatted" || { echo "not gofmt-ed: $$unformatted"; exit 1; }
	go vet ./...
	$(STATICCHECK) ./...
	$(BUF) lint proto

generate:
	$(BUF) generate --template proto/buf.gen.yaml proto

# Generated files must be what the committed sources generate.
check-generated: generate
	@test -z "$$(git status --porcelain -- proto)" || { git status --short -- proto; git diff -- proto | head -40; echo "generated files differ: run make generate and commit"; exit 1; }
