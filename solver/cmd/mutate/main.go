// Mutate breaks the solver on purpose, one place at a time, and says which of the breaks no test notices.
//
//	go run ./solver/cmd/mutate [pattern]
//
// The breaks are in mutations.txt, which says how they are written; pattern, a regular expression on
// their names, picks some. Nothing in the tree is touched: go test gets the broken file as an overlay.
// It ends with 1 when a break is missed or no longer fits the code.
package main

import (
	"context"
	_ "embed"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"
)

//go:embed mutations.txt
var list string

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	workers := flag.Int("workers", runtime.NumCPU(), "breaks tried at the same time")
	flag.Parse()
	if err := run(ctx, os.Stdout, ".", list, flag.Arg(0), *workers); err != nil {
		fmt.Fprintln(os.Stderr, "mutate:", err)
		os.Exit(1)
	}
}

// run tries the mutations of a list whose names match the pattern on the module in a folder.
func run(ctx context.Context, out io.Writer, root, list, pattern string, workers int) error {
	all, err := parse(list)
	if err != nil {
		return err
	}
	wanted, err := regexp.Compile(pattern)
	if err != nil {
		return err
	}
	all = slices.DeleteFunc(all, func(m mutation) bool { return !wanted.MatchString(m.name) })
	if len(all) == 0 {
		return fmt.Errorf("no mutation is called %q", pattern)
	}
	if err := unbroken(ctx, root, all); err != nil {
		return err
	}
	begun, bad := time.Now(), 0
	var lock sync.Mutex
	var wait sync.WaitGroup
	places := make(chan struct{}, workers)
	for _, m := range all {
		places <- struct{}{}
		wait.Go(func() {
			defer func() { <-places }()
			start := time.Now()
			verdict, fine := try(ctx, root, m)
			lock.Lock()
			defer lock.Unlock()
			if !fine {
				bad++
			}
			fmt.Fprintf(out, "%-6s %5.1f s  %s: %s\n", verdict.word, time.Since(start).Seconds(), m.name, verdict.why)
		})
	}
	wait.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	fmt.Fprintf(out, "%d of %d caught in %.0f s\n", len(all)-bad, len(all), time.Since(begun).Seconds())
	if bad > 0 {
		return errors.New("write the test that is missing, or bring mutations.txt up to date")
	}
	return nil
}

// verdict says what became of a mutation.
type verdict struct{ word, why string }

// failed finds the first test that failed in what go test prints.
var failed = regexp.MustCompile(`(?m)^\s*--- FAIL: (\S+)`)

// try runs the tests of a mutation; false when it is missed or cannot be tried.
func try(ctx context.Context, root string, m mutation) (verdict, bool) {
	folder, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return verdict{"ERROR", err.Error()}, false
	}
	defer os.RemoveAll(folder)
	overlay, err := m.overlay(root, folder)
	if err != nil {
		return verdict{"STALE", err.Error()}, false
	}
	output, err := test(ctx, root, append([]string{"-failfast", "-vet=off", "-timeout=5m", "-overlay=" + overlay}, m.tests...))
	switch {
	case ctx.Err() != nil:
		return verdict{"ERROR", "interrupted"}, false
	case err == nil:
		return verdict{"MISSED", "go test " + strings.Join(m.tests, " ") + " passes"}, false
	case strings.Contains(output, "[build failed]") || strings.Contains(output, "[setup failed]"):
		return verdict{"ERROR", "does not compile:\n" + output}, false
	}
	if name := failed.FindStringSubmatch(output); name != nil {
		return verdict{"caught", name[1]}, true
	}
	if !strings.Contains(output, "panic: ") {
		return verdict{"ERROR", output}, false
	}
	return verdict{"caught", "a panic"}, true
}

func test(ctx context.Context, root string, args []string) (string, error) {
	c := exec.CommandContext(ctx, "go", append([]string{"test", "-count=1"}, args...)...)
	c.Dir = root
	output, err := c.CombinedOutput()
	return string(output), err
}

// unbroken makes sure that the tests pass when nothing is broken.
func unbroken(ctx context.Context, root string, all []mutation) error {
	runs := map[string][]string{} // patterns of -run by package
	for _, m := range all {
		runs[m.tests[0]] = append(runs[m.tests[0]], m.pattern())
	}
	for _, name := range slices.Sorted(maps.Keys(runs)) {
		patterns := slices.Compact(slices.Sorted(slices.Values(runs[name])))
		if output, err := test(ctx, root, []string{name, "-run", strings.Join(patterns, "|")}); err != nil {
			return fmt.Errorf("%s fails without any mutation: %w\n%s", name, err, output)
		}
	}
	return nil
}

// mutation is one break: lines of a file and what is put in their place.
type mutation struct {
	name, file, old, new string
	tests                []string // arguments of go test: a package, and perhaps -run and a pattern
}

func (m mutation) pattern() string {
	if len(m.tests) == 3 {
		return m.tests[2]
	}
	return "."
}

// parse reads the form that mutations.txt describes.
func parse(list string) ([]mutation, error) {
	var all []mutation
	for n, line := range strings.Split(list, "\n") {
		name, begins := strings.CutPrefix(line, "== ")
		if begins {
			all = append(all, mutation{name: name})
		}
		if begins || line == "" || line[0] == '#' {
			continue
		}
		if len(all) == 0 {
			return nil, fmt.Errorf("line %d: no name before it", n+1)
		}
		m := &all[len(all)-1]
		switch kind, rest := line[:1], line[1:]; {
		case strings.HasPrefix(line, "in "):
			m.file = line[3:]
		case strings.HasPrefix(line, "by "):
			m.tests = strings.Fields(line[3:])
		case strings.Contains(" -+", kind):
			if kind != "+" {
				m.old += rest + "\n"
			}
			if kind != "-" {
				m.new += rest + "\n"
			}
		default:
			return nil, fmt.Errorf("line %d: want \"in FILE\", \"by PACKAGE\" or a line that begins with a blank, - or +", n+1)
		}
	}
	for _, m := range all {
		tested := len(m.tests) == 1 || len(m.tests) == 3 && m.tests[1] == "-run"
		if m.file == "" || m.old == "" || m.old == m.new || !tested {
			return nil, fmt.Errorf("%s: want \"in FILE\", lines to take out, and \"by PACKAGE\" or \"by PACKAGE -run PATTERN\"", m.name)
		}
	}
	return all, nil
}

// overlay writes the broken file and the overlay that puts it in its place, and returns its name. The
// lines have to be in the file exactly once.
func (m mutation) overlay(root, folder string) (string, error) {
	path, err := filepath.Abs(filepath.Join(root, m.file))
	if err != nil {
		return "", err
	}
	content, err := os.ReadFile(path)
	if err != nil {
		return "", err
	}
	text := "\n" + string(content)
	if n := strings.Count(text, "\n"+m.old); n != 1 {
		return "", fmt.Errorf("its lines are in %s %d times, want once", m.file, n)
	}
	broken, name := filepath.Join(folder, "broken.go"), filepath.Join(folder, "overlay.json")
	text = strings.Replace(text, "\n"+m.old, "\n"+m.new, 1)[1:]
	if err := os.WriteFile(broken, []byte(text), 0o600); err != nil {
		return "", err
	}
	replace, err := json.Marshal(map[string]any{"Replace": map[string]string{path: broken}})
	if err != nil {
		return "", err
	}
	return name, os.WriteFile(name, replace, 0o600)
}
