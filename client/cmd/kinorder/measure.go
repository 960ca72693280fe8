package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"google.golang.org/protobuf/encoding/protojson"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// maxExport is the size in bytes up to which an export is read.
const maxExport = 64 << 20

func (p *Program) measureCommand() *cobra.Command {
	var o serverFlags
	var output string
	c := &cobra.Command{
		Use:   "measure [EXPORT... | EVENT...]",
		Short: "Measure your own pace from past events",
		Long: `Measure reads how long photos took on days that were run with the page of the day, and fits
the minutes to them. It writes a pace file for kinorder plan --pace. With --server it reads the
events kept there, all that the secret opens or those that you name; without it the files that
kinorder events export wrote.

Breaks and photos that were ticked late are not used. It says how sure each number is, and by
how much a plan would have been off on days that it did not learn from. It takes 20 photos at
least; with fewer, the usual pace stays and nothing is written.

Exit codes: 0 done; 1 could not run; 2 wrong usage, invalid input, or too little to go by.`,
		Example: `  kinorder measure --server localhost:7465 -o pace.yaml
  kinorder measure spring.json summer.json -o pace.yaml
  kinorder plan wedding.yaml --pace pace.yaml`,
		Args: cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error { return p.measure(c.Context(), args, output, o) },
	}
	o.add(c, keptThere)
	c.Flags().StringVarP(&output, "output", "o", "", "write the pace to `FILE` instead of the standard output")
	return c
}

func (p *Program) measure(ctx context.Context, args []string, output string, o serverFlags) error {
	if err := p.apart(output, o, args...); err != nil {
		return err
	}
	if err := fitting(output, ".yaml", ".yml"); err != nil {
		return err
	}
	conn, exports, err := p.exports(ctx, args, o)
	if err != nil {
		return err
	}
	var runs []*kinorderv1.FinishedRun
	for _, e := range exports {
		runs = append(runs, runsOf(e)...)
	}
	if len(runs) == 0 {
		return invalid(errors.New("there is no run in what was read: go through a day with the page of the day first"))
	}
	found, err := conn.FitPace(ctx, runs)
	if err != nil {
		return p.refused(err)
	}
	if len(found.GetContent()) == 0 {
		return invalid(errors.New(printable(found.GetPace().GetText())))
	}
	if err := p.deliver(found.GetContent(), output, ""); err != nil {
		return err
	}
	if output == "" || output == "-" {
		fmt.Fprint(p.Stderr, paceSummary(found.GetPace()))
		return nil
	}
	return p.print(paceSummary(found.GetPace()))
}

// exports reads what is kept of events, from a server or from files.
func (p *Program) exports(ctx context.Context, args []string, o serverFlags) (*client.Client, []*kinorderv1.ExportEventResponse, error) {
	var out []*kinorderv1.ExportEventResponse
	if o.address == "" {
		if len(args) == 0 {
			return nil, nil, errors.New("name files that kinorder events export wrote, or a server with --server")
		}
		for _, file := range args {
			e, err := readExport(file)
			if err != nil {
				return nil, nil, err
			}
			out = append(out, e)
		}
		o.kept = false // files are worked on here
		conn, err := p.connect(o)
		return conn, out, err
	}
	conn, err := p.connect(o)
	if err != nil {
		return nil, nil, err
	}
	if len(args) == 0 {
		for e, err := range conn.Events(ctx) {
			if err != nil {
				return nil, nil, p.refused(err)
			}
			args = append(args, e.GetName())
		}
	}
	for _, name := range args {
		reading, cancel := context.WithTimeout(ctx, longTime)
		e, err := conn.ExportEvent(reading, eventName(name))
		cancel()
		if err != nil {
			return nil, nil, p.refused(err)
		}
		out = append(out, e)
	}
	return conn, out, nil
}

func readExport(file string) (*kinorderv1.ExportEventResponse, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, failed(err)
	}
	defer f.Close()
	content, err := io.ReadAll(io.LimitReader(f, maxExport+1))
	if err != nil {
		return nil, failed(err)
	}
	if len(content) > maxExport {
		return nil, invalid(fmt.Errorf("%s: is larger than %d MiB, the most that is read", file, maxExport>>20))
	}
	e, err := parseExport(content)
	if err != nil {
		return nil, invalid(fmt.Errorf("%s%w", file, err))
	}
	return e, nil
}

// where is the place that package protojson puts into its errors.
var where = regexp.MustCompile(`\(line (\d+):(\d+)\):?\s*`)

// parseExport reads what kinorder events export writes. Its error begins with a colon and, where it is
// known, line and column. It does not repeat what the file holds.
func parseExport(content []byte) (*kinorderv1.ExportEventResponse, error) {
	e := new(kinorderv1.ExportEventResponse)
	err := protojson.UnmarshalOptions{DiscardUnknown: true}.Unmarshal(content, e)
	if err == nil && len(e.GetVersions()) == 0 {
		return nil, errors.New(": has no event in it: use a file that kinorder events export wrote")
	}
	if err != nil {
		at := ""
		if m := where.FindStringSubmatch(err.Error()); m != nil {
			at = ":" + m[1] + ":" + m[2]
		}
		return nil, fmt.Errorf("%s: cannot be read here: use a JSON file that kinorder events export wrote", at)
	}
	return e, nil
}

// runsOf lists the runs of an export, each with its version of the event. What was written down in notes
// stays here.
func runsOf(e *kinorderv1.ExportEventResponse) []*kinorderv1.FinishedRun {
	versions := map[int64]*kinorderv1.Event{}
	for _, v := range e.GetVersions() {
		versions[v.GetVersion()] = v.GetEvent()
	}
	of := map[string]int64{}
	for _, r := range e.GetRuns() {
		of[r.GetName()] = r.GetEventVersion()
	}
	var out []*kinorderv1.FinishedRun
	for _, m := range e.GetMarks() {
		about := versions[of[m.GetRun()]]
		if about == nil {
			about = e.GetVersions()[0].GetEvent()
		}
		run := &kinorderv1.FinishedRun{Event: about}
		for _, mark := range m.GetMarks() {
			if _, note := mark.GetKind().(*kinorderv1.Mark_Note); !note {
				run.Marks = append(run.Marks, mark)
			}
		}
		if about != nil && len(run.Marks) > 0 {
			out = append(out, run)
		}
	}
	return out
}

// parameterWords say what the numbers of the model are.
var parameterWords = map[string]string{
	"settle": "between photos", "perStepIn": "each who steps in", "perStepOut": "each who steps out",
	"fresh": "when nobody stays", "perFrame": "each frame", "arrange": "placing newcomers", "slow": "the slowest to step in",
	"gather": "fetching who is away",
}

// paceSummary says in a few lines what was found.
func paceSummary(s *kinorderv1.StudioPace) string {
	var b strings.Builder
	b.WriteString(printable(s.GetText()) + "\n\n")
	for _, p := range s.GetParameters() {
		word := parameterWords[p.GetName()]
		if word == "" {
			word = printable(p.GetName())
		}
		unit := " s"
		if slices.Contains([]string{"arrange", "slow", "gather"}, p.GetName()) {
			unit = " times the usual"
		}
		fmt.Fprintf(&b, "  %-24s %6.1f ± %.1f%s, usually %.1f", word, p.GetValue(), p.GetDeviation(), unit, p.GetUsual())
		if !p.GetLearned() {
			b.WriteString(" (little is known)")
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// withPace puts a pace file into an event.
func (p *Program) withPace(ctx context.Context, conn *client.Client, e *kinorderv1.Event, file string) (*kinorderv1.Event, error) {
	if file == "" {
		return e, nil
	}
	s, err := p.read(ctx, file)
	if err != nil {
		return nil, err
	}
	if len(s.content) == 0 {
		return nil, invalid(fmt.Errorf("%s: is empty: use a file that kinorder measure wrote", s.name))
	}
	r, err := conn.ApplyPace(ctx, e, s.content)
	if err != nil {
		return nil, p.refused(err)
	}
	list := newProblemList(s.name, r.GetProblems())
	fmt.Fprint(p.Stderr, list.atLeast(kinorderv1.Severity_SEVERITY_WARNING))
	return r.GetEvent(), list.toFix()
}
