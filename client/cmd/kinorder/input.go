package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// source is the content of an input file.
type source struct {
	name    string // as it is shown to the user
	format  kinorderv1.ImportFormat
	content []byte
}

// read reads a file, or the standard input for "-". It stops waiting when ctx ends.
func (p *Program) read(ctx context.Context, file string) (source, error) {
	s := source{name: file, format: formatOf(file)}
	in := p.Stdin
	if file == "-" {
		s.name = "stdin"
	} else {
		f, err := os.Open(file)
		if err != nil {
			return source{}, failed(err)
		}
		defer f.Close()
		in = f
	}
	type result struct {
		content []byte
		err     error
	}
	done := make(chan result, 1)
	go func() {
		content, err := io.ReadAll(io.LimitReader(in, client.MaxContent+1))
		done <- result{content, err}
	}()
	select {
	case <-ctx.Done():
		return source{}, failed(errors.New("stopped"))
	case r := <-done:
		if r.err != nil {
			return source{}, failed(r.err)
		}
		if len(r.content) > client.MaxContent {
			return source{}, invalid(fmt.Errorf("%s: is larger than %d MiB, the most that is read", s.name, client.MaxContent>>20))
		}
		s.content = r.content
		return s, nil
	}
}

// loaded is an event file as a server understood it, and the connection for what follows.
type loaded struct {
	conn     *client.Client
	event    *kinorderv1.Event
	problems problemList
	got      *kinorderv1.ImportResponse
}

// load reads an event file, connects, and has the file imported.
func (p *Program) load(ctx context.Context, file string, o serverFlags, how client.ImportOptions) (loaded, error) {
	s, err := p.read(ctx, file)
	if err != nil {
		return loaded{}, err
	}
	conn, err := p.connect(o)
	if err != nil {
		return loaded{}, err
	}
	how.Format = s.format
	got, err := conn.ImportWith(ctx, s.content, how)
	if err != nil {
		return loaded{}, p.refused(err)
	}
	return loaded{conn, got.GetEvent(), newProblemList(s.name, got.GetProblems()), got}, nil
}

// sound reads an event file as load does, for a command that needs one that can be planned: it reports problems
// from a severity upwards, and is an error when there is something to fix first.
func (p *Program) sound(ctx context.Context, file string, o serverFlags, from kinorderv1.Severity) (*client.Client, *kinorderv1.Event, error) {
	l, err := p.load(ctx, file, o, client.ImportOptions{})
	if err != nil {
		return nil, nil, err
	}
	fmt.Fprint(p.Stderr, l.problems.atLeast(from))
	return l.conn, l.event, l.problems.toFix()
}

func formatOf(file string) kinorderv1.ImportFormat {
	switch strings.ToLower(filepath.Ext(file)) {
	case ".yaml", ".yml":
		return kinorderv1.ImportFormat_IMPORT_FORMAT_YAML
	case ".json":
		return kinorderv1.ImportFormat_IMPORT_FORMAT_JSON
	default:
		return kinorderv1.ImportFormat_IMPORT_FORMAT_UNSPECIFIED
	}
}

// oneFile refuses a command line that does not name one file.
func oneFile(_ *cobra.Command, args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("name one event file, or - for the standard input; %d given", len(args))
	}
	return nil
}

// eventFiles completes the names of files that hold events.
func eventFiles(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return eventEndings, cobra.ShellCompDirectiveFilterFileExt
}

// eventEndings are those of files that hold events.
var eventEndings = []string{"yaml", "yml", "json", "txt", "csv", "tsv", "xlsx"}

// problemList is what is wrong or doubtful in a file, in the order of its lines.
type problemList struct {
	name     string
	problems []*kinorderv1.ImportProblem
}

func newProblemList(name string, problems []*kinorderv1.ImportProblem) problemList {
	sorted := slices.Clone(problems)
	slices.SortStableFunc(sorted, func(a, b *kinorderv1.ImportProblem) int {
		return cmp.Or(
			cmp.Compare(a.GetLine(), b.GetLine()),
			cmp.Compare(a.GetColumn(), b.GetColumn()),
			cmp.Compare(b.GetSeverity(), a.GetSeverity()),
		)
	})
	return problemList{name, sorted}
}

// count returns how many problems are of a severity.
func (l problemList) count(s kinorderv1.Severity) int {
	n := 0
	for _, p := range l.problems {
		if p.GetSeverity() == s {
			n++
		}
	}
	return n
}

// toFix is an error when something has to be fixed before a plan can be made. What it is has been said by then.
func (l problemList) toFix() error {
	if l.count(kinorderv1.Severity_SEVERITY_ERROR) > 0 {
		return invalid(nil)
	}
	return nil
}

// atLeast writes the problems from a severity upwards, one a line.
func (l problemList) atLeast(s kinorderv1.Severity) string {
	var b strings.Builder
	for _, p := range l.problems {
		if p.GetSeverity() < s {
			continue
		}
		b.WriteString(l.name)
		if p.GetLine() > 0 {
			fmt.Fprintf(&b, ":%d", p.GetLine())
			if p.GetColumn() > 0 {
				fmt.Fprintf(&b, ":%d", p.GetColumn())
			}
		}
		fmt.Fprintf(&b, ": %s: %s\n", severityWord(p.GetSeverity()), printable(p.GetText()))
	}
	return b.String()
}

func severityWord(s kinorderv1.Severity) string {
	switch s {
	case kinorderv1.Severity_SEVERITY_ERROR:
		return "error"
	case kinorderv1.Severity_SEVERITY_WARNING:
		return "warning"
	default:
		return "note"
	}
}

// printable keeps what a file holds from steering the terminal.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' {
			return unicode.ReplacementChar
		}
		return r
	}, s)
}

// counted returns "1 person", "2 people".
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
