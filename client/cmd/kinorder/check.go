package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

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
	s, err := p.read(ctx, file)
	if err != nil {
		return err
	}
	conn, err := p.connect(o)
	if err != nil {
		return err
	}
	e, problems, err := conn.Import(ctx, s.content, s.format)
	if err != nil {
		return p.refused(err)
	}
	list := newProblemList(s.name, problems)
	if err := p.print(list.atLeast(kinorderv1.Severity_SEVERITY_INFO) + verdict(list, e)); err != nil {
		return err
	}
	if list.count(kinorderv1.Severity_SEVERITY_ERROR) > 0 {
		return invalid(nil)
	}
	return nil
}

// verdict sums up a check in one line.
func verdict(l problemList, e *kinorderv1.Event) string {
	faults := counted(l.count(kinorderv1.Severity_SEVERITY_ERROR), "error", "errors")
	doubts := counted(l.count(kinorderv1.Severity_SEVERITY_WARNING), "warning", "warnings")
	if l.count(kinorderv1.Severity_SEVERITY_ERROR) > 0 {
		return fmt.Sprintf("%s: cannot be planned yet: %s, %s\n", l.name, faults, doubts)
	}
	return fmt.Sprintf("%s: can be planned: %s, %s, %s\n", l.name,
		counted(len(e.GetGroupings()), "grouping", "groupings"), counted(len(e.GetPeople()), "person", "people"), doubts)
}
