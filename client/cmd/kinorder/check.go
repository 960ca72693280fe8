package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

func (p *Program) checkCommand() *cobra.Command {
	var o serverFlags
	var asJSON bool
	c := &cobra.Command{
		Use:   "check FILE...",
		Short: "Check event files",
		Long: `Check reads event files (YAML, JSON, typed lists or spreadsheets; "-" is the standard
input) and prints what is wrong or unclear in each, with its line and column. It makes
no plan. --json prints a line of JSON for each file, with its name and its problems.

It ends with code 2 when something must be fixed before a plan can be made.`,
		Example: `  kinorder check wedding.yaml
  kinorder check *.yaml
  kinorder check wedding.yaml --json | jq .problems
  kinorder check - < wedding.json`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New("name event files, or - for the standard input")
			}
			return nil
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return eventEndings, cobra.ShellCompDirectiveFilterFileExt
		},
		RunE: func(c *cobra.Command, args []string) error {
			worst := error(nil)
			for _, file := range args {
				if err := p.check(c.Context(), file, asJSON, o); err != nil {
					var e *exit
					if !errors.As(err, &e) || e.err != nil {
						return err
					}
					worst = err // what it is has been said
				}
			}
			return worst
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, jsonHelp)
	o.add(c, worksThere)
	return c
}

func (p *Program) check(ctx context.Context, file string, asJSON bool, o serverFlags) error {
	l, err := p.load(ctx, file, o, client.ImportOptions{})
	if err != nil {
		return err
	}
	if asJSON {
		err = p.printChecked(l)
	} else {
		err = p.print(l.verdict())
	}
	if err != nil {
		return err
	}
	return l.problems.toFix()
}

// printChecked prints what was found in a file as a line of JSON: its name, and the problems as the API has them.
func (p *Program) printChecked(l loaded) error {
	line, err := jsonLine(&kinorderv1.ImportResponse{Problems: l.problems.problems})
	if err != nil {
		return err
	}
	name, err := json.Marshal(l.problems.name)
	if err != nil {
		return failed(err)
	}
	rest := strings.TrimPrefix(line, "{")
	if !strings.HasPrefix(rest, "}") {
		rest = "," + rest
	}
	return p.print(`{"file":` + string(name) + rest + "\n")
}

// verdict lists all problems and sums up in one line.
func (l loaded) verdict() string {
	return l.problems.atLeast(kinorderv1.Severity_SEVERITY_INFO) + l.sum() + "\n"
}

// sum says whether the event can be planned.
func (l loaded) sum() string {
	faults := counted(l.problems.count(kinorderv1.Severity_SEVERITY_ERROR), "error", "errors")
	doubts := counted(l.problems.count(kinorderv1.Severity_SEVERITY_WARNING), "warning", "warnings")
	if l.problems.toFix() != nil {
		return fmt.Sprintf("%s: cannot be planned yet: %s, %s", l.problems.name, faults, doubts)
	}
	return fmt.Sprintf("%s: can be planned: %s, %s, %s", l.problems.name,
		counted(len(l.event.GetGroupings()), "photo", "photos"), counted(len(l.event.GetPeople()), "person", "people"), doubts)
}
