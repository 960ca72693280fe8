package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// planFlags are the flags of plan.
type planFlags struct {
	drawing   drawFlags
	emphasis  choice[kinorderv1.Emphasis]
	output    string
	budget    duration
	available duration
	server    serverFlags
	pace      string
}

func newPlanFlags() *planFlags {
	return &planFlags{
		drawing: newDrawFlags(), budget: searchTime(), available: duration{flag: "--available", example: "10m"},
		emphasis: byName[kinorderv1.Emphasis]("balanced", "fewest-steps", "early-release"),
	}
}

func (p *Program) planCommand() *cobra.Command {
	o := newPlanFlags()
	c := &cobra.Command{
		Use:   "plan FILE",
		Short: "Find the best order and print the call sheet",
		Long: `Plan reads an event file (YAML, JSON, a typed list or a spreadsheet; "-" is the standard
input), finds the best order and prints the call sheet.

Ctrl-C ends the search early with the best sheet found so far; a second one ends at once.

Exit codes: 0 done; 1 could not run; 2 wrong usage or invalid input; 3 planned, but a
must-have photo is left out.`,
		Example: `  kinorder plan wedding.yaml
  kinorder plan wedding.yaml --emphasis fewest-steps --budget 30s
  kinorder plan wedding.yaml -o sheet.html
  kinorder plan wedding.yaml --sheet reader -o reader.pdf
  kinorder plan wedding.yaml --sheet all -o papers
  kinorder plan wedding.yaml --sheet times --language fr
  kinorder plan wedding.yaml --available 10m
  kinorder plan wedding.yaml --pace pace.yaml
  kinorder plan wedding.yaml --format json | jq .totals
  kinorder plan wedding.yaml --server localhost:7465`,
		Args:              oneFile,
		ValidArgsFunction: eventFiles,
		RunE: func(c *cobra.Command, args []string) error {
			if err := p.apart(o.output, o.server, args[0], o.pace); err != nil {
				return err
			}
			if err := o.drawing.check(p, o.output); err != nil {
				return err
			}
			return p.plan(c.Context(), args[0], o)
		},
	}
	f := c.Flags()
	f.StringVarP(&o.output, "output", "o", "", "write the sheet to `FILE` instead of the standard output; with --sheet all the folder")
	f.Var(&o.budget, "budget", "search no longer than this `TIME`, such as 5s or 1m, up to 10m; a number alone is seconds")
	f.StringVar(&o.pace, "pace", "", "use the pace in `FILE`, which kinorder measure wrote, where the event has none of its own")
	f.Var(&o.available, "available", "all the `TIME` there is in the first time slot (default: as long as the time slot is)")
	f.Var(&o.emphasis, "emphasis", "what to favour: balanced, fewest-steps or early-release (default: as the file says)")
	o.server.add(c, worksThere)
	o.drawing.register(c)
	o.emphasis.complete(c, "emphasis")
	return c
}

func (p *Program) plan(ctx context.Context, file string, o *planFlags) error {
	conn, e, err := p.sound(ctx, file, o.server, kinorderv1.Severity_SEVERITY_WARNING)
	if err != nil {
		return err
	}
	if e, err = p.withPace(ctx, conn, e, o.pace); err != nil {
		return err
	}
	sheet, err := p.search(ctx, conn, e, o)
	if err != nil {
		return err
	}
	if o.drawing.kind.word == allSheets {
		if err := os.MkdirAll(o.output, 0o700); err != nil { // they hold names
			return failed(err)
		}
	}
	for _, paper := range o.papers(file) {
		content, err := p.draw(conn, e, sheet, &paper)
		if err != nil {
			return err
		}
		if err := p.deliver(content, paper.output, sheetSum(sheet)); err != nil {
			return err
		}
	}
	return leftOut(sheet)
}

// search plans and shows how far it has come. When ctx ends it returns the best sheet so far.
func (p *Program) search(ctx context.Context, conn *client.Client, e *kinorderv1.Event, o *planFlags) (*kinorderv1.CallSheet, error) {
	line := progressLine{p: p, budget: o.budget.span}
	var best *kinorderv1.CallSheet
	searching, cancel := context.WithTimeout(ctx, o.budget.span+callTime)
	defer cancel()
	for message, err := range conn.PlanStream(searching, e, client.PlanOptions{Budget: o.budget.span, Emphasis: o.emphasis.value(), Available: o.available.span}) {
		if err != nil {
			line.clear()
			if ctx.Err() == nil {
				return nil, p.refused(err)
			}
			if best == nil {
				return nil, failed(errors.New("stopped before any order was found"))
			}
			fmt.Fprintln(p.Stderr, "kinorder: stopped early: this is the best sheet found so far")
			return best, nil
		}
		if sheet := message.GetSheet(); sheet != nil {
			best = sheet
			continue
		}
		best = message.GetProgress().GetSheet()
		line.show(message.GetProgress())
	}
	line.clear()
	if best == nil {
		return nil, failed(errors.New("the server ended without a sheet"))
	}
	return best, nil
}

// leftOut says which groupings are missing that must be taken.
func leftOut(sheet *kinorderv1.CallSheet) error {
	var missing []string
	for _, l := range sheet.GetLeftOut() {
		if l.GetPriority() == kinorderv1.Priority_PRIORITY_MUST {
			missing = append(missing, l.GetGrouping())
		}
	}
	if len(missing) == 0 {
		return nil
	}
	return &exit{exitLeftOut, fmt.Errorf("must-have photos are left out: %s", strings.Join(missing, ", "))}
}

// sheetSum sums a sheet up in a few words.
func sheetSum(sheet *kinorderv1.CallSheet) string {
	t := sheet.GetTotals()
	proven := "the best order found"
	if t.GetProven() {
		proven = "the best order there is"
	}
	return fmt.Sprintf("%s, %s, %s", counted(int(t.GetGroupings()), "photo", "photos"), counted(int(t.GetStepIns()), "step-in", "step-ins"), proven)
}
