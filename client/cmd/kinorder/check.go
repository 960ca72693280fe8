package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

func (p *Program) checkCommand() *cobra.Command {
	var o serverFlags
	c := &cobra.Command{
		Use:   "check FILE",
		Short: "Say what is wrong with an event file",
		Long: `Check reads an event file (YAML, JSON, a typed list or a spreadsheet; "-" is the standard
input) and prints what is wrong or doubtful in it, each with its line and column. It makes
no plan.

It ends with code 2 when something must be mended before a plan can be made.`,
		Example: `  kinorder check wedding.yaml
  kinorder check - < wedding.json`,
		Args:              oneFile,
		ValidArgsFunction: eventFiles,
		RunE: func(c *cobra.Command, args []string) error {
			return p.check(c.Context(), args[0], o)
		},
	}
	o.add(c, worksThere)
	return c
}

func (p *Program) check(ctx context.Context, file string, o serverFlags) error {
	l, err := p.load(ctx, file, o, client.ImportOptions{})
	if err != nil {
		return err
	}
	if err := p.print(l.verdict()); err != nil {
		return err
	}
	return l.problems.mend()
}

// verdict lists all problems and sums up in one line.
func (l loaded) verdict() string {
	return l.problems.atLeast(kinorderv1.Severity_SEVERITY_INFO) + l.sum() + "\n"
}

// sum says whether the event can be planned.
func (l loaded) sum() string {
	faults := counted(l.problems.count(kinorderv1.Severity_SEVERITY_ERROR), "error", "errors")
	doubts := counted(l.problems.count(kinorderv1.Severity_SEVERITY_WARNING), "warning", "warnings")
	if l.problems.mend() != nil {
		return fmt.Sprintf("%s: cannot be planned yet: %s, %s", l.problems.name, faults, doubts)
	}
	return fmt.Sprintf("%s: can be planned: %s, %s, %s", l.problems.name,
		counted(len(l.event.GetGroupings()), "grouping", "groupings"), counted(len(l.event.GetPeople()), "person", "people"), doubts)
}
