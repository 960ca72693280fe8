package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// eventName accepts an event with or without "events/" before it.
func eventName(arg string) string {
	if strings.HasPrefix(arg, "events/") {
		return arg
	}
	return "events/" + arg
}

func (p *Program) pushCommand() *cobra.Command {
	var o serverFlags
	var id, pace string
	budget, asJSON := searchTime(), false
	c := &cobra.Command{
		Use:   "push FILE",
		Short: "Keep an event file on a server, with its call sheet",
		Long: `Push reads an event file, keeps it as an event on a server and has its call sheet made
and kept there. With --event it changes that event, or makes it under that id when there is
none. It prints the names of the event and of the sheet.`,
		Example: `  kinorder push wedding.yaml --server localhost:7465 --secret-file ~/kinorder/studio.key
  kinorder push wedding.yaml --event ines-noor --server localhost:7465`,
		Args:              oneFile,
		ValidArgsFunction: eventFiles,
		RunE: func(c *cobra.Command, args []string) error {
			id = strings.TrimPrefix(id, "events/")
			if id != strings.ToLower(id) {
				return fmt.Errorf("--event %s: ids have small letters, digits and hyphens only", id)
			}
			return p.push(c.Context(), args[0], id, pace, budget.span, asJSON, o)
		},
	}
	o.add(c, keptThere)
	c.Flags().StringVar(&id, "event", "", "the `ID` of the event to make or change (default: a new one)")
	c.Flags().StringVar(&pace, "pace", "", "keep the event with the pace in `FILE`, which kinorder measure wrote, where it does not say its own")
	c.Flags().Var(&budget, "budget", "search no longer than this `TIME` for the sheet, such as 5s or 1m")
	c.Flags().BoolVar(&asJSON, "json", false, jsonHelp)
	return c
}

func (p *Program) push(ctx context.Context, file, id, pace string, budget time.Duration, asJSON bool, o serverFlags) error {
	conn, e, err := p.sound(ctx, file, o, kinorderv1.Severity_SEVERITY_ERROR)
	if err != nil {
		return err
	}
	if e, err = p.withPace(ctx, conn, e, pace); err != nil {
		return err
	}
	stored, err := pushed(ctx, conn, id, e)
	if err != nil {
		return p.refused(err)
	}
	searching, cancel := context.WithTimeout(ctx, budget+callTime)
	defer cancel()
	sheet, err := conn.CreateSheet(searching, stored.GetName(), client.PlanOptions{Budget: budget})
	if err != nil {
		return p.refused(err)
	}
	if asJSON {
		return p.said(true, sheet, "")
	}
	t := sheet.GetSheet().GetTotals()
	return p.print(fmt.Sprintf("%s version %d\n%s %s, %s\n", stored.GetName(), stored.GetVersion(), sheet.GetName(),
		counted(int(t.GetGroupings()), "photo", "photos"), counted(int(t.GetStepIns()), "step-in", "step-ins")))
}

func (p *Program) pullCommand() *cobra.Command {
	var o serverFlags
	var output string
	var replaced bool
	c := &cobra.Command{
		Use:     "pull EVENT",
		Aliases: []string{"get"},
		Short:   "Write an event that a server keeps as an event file",
		Long: `Pull writes an event that a server keeps as a YAML file, which can be changed and pushed
again; with -o by its ending as YAML, JSON, CSV or a workbook. It includes private notes.`,
		Example: `  kinorder pull ines-noor -o wedding.yaml --server localhost:7465
  kinorder pull ines-noor --server localhost:7465 | kinorder check -`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if err := fitting(output, ".yaml", ".yml", ".json", ".csv", ".xlsx"); err != nil {
				return err
			}
			if err := untouched(output, replaced); err != nil {
				return err
			}
			return p.pull(c.Context(), eventName(args[0]), output, o)
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "write to `FILE` instead of the standard output")
	c.Flags().BoolVar(&replaced, "replace", false, "overwrite the -o file if it exists")
	o.add(c, keptThere)
	return c
}

func (p *Program) pull(ctx context.Context, event, output string, o serverFlags) error {
	conn, err := p.connect(o)
	if err != nil {
		return err
	}
	kept, err := conn.Event(ctx, event)
	if err != nil {
		return p.refused(err)
	}
	as := importFlags{output: output}
	content, err := conn.Export(ctx, kept.GetEvent(), client.ExportOptions{Format: as.writtenAs(), Table: as.tableWritten()})
	if err != nil {
		return p.refused(err)
	}
	return p.deliver(content, output, fmt.Sprintf("%s version %d", kept.GetName(), kept.GetVersion()))
}

// pushed changes an event that is there and makes one that is not.
func pushed(ctx context.Context, conn *client.Client, id string, e *kinorderv1.Event) (*kinorderv1.StoredEvent, error) {
	if id == "" {
		return conn.CreateEvent(ctx, "", e)
	}
	stored, err := conn.ReplaceEvent(ctx, "events/"+id, "", e)
	var missing *client.Error
	if errors.As(err, &missing) && missing.Reason == client.ReasonNotFound {
		return conn.CreateEvent(ctx, id, e)
	}
	return stored, err
}

func (p *Program) eventsCommand() *cobra.Command {
	var o serverFlags
	var asJSON bool
	c := &cobra.Command{
		Use:   "events",
		Short: "List the events that a server keeps",
		Example: `  kinorder events --server localhost:7465 --secret-file ~/kinorder/studio.key
  kinorder events export ines-noor --server localhost:7465 > whole.json
  kinorder events delete ines-noor --yes --server localhost:7465`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 || len(args) == 1 && args[0] == "list" {
				return nil
			}
			return fmt.Errorf("unknown command %q: events lists them; export and delete take one, import puts back what export wrote, prune deletes old ones, and kinorder pull writes one as a file", args[0])
		},
		RunE: func(c *cobra.Command, _ []string) error { return p.events(c.Context(), asJSON, o) },
	}
	c.Flags().BoolVar(&asJSON, "json", false, jsonHelp)
	o.add(c, keptThere)
	c.AddCommand(p.exportEventCommand(&o), p.importEventCommand(), p.deleteEventCommand(&o), p.pruneCommand(&o))
	return c
}

func (p *Program) exportEventCommand(o *serverFlags) *cobra.Command {
	return &cobra.Command{
		Use:     "export EVENT",
		Short:   "Print everything that is kept of an event, as JSON, private notes included",
		Example: `  kinorder events export ines-noor --server localhost:7465 > whole.json`,
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			conn, err := p.connect(*o)
			if err != nil {
				return err
			}
			ctx, cancel := context.WithTimeout(c.Context(), longTime)
			defer cancel()
			all, err := conn.ExportEvent(ctx, eventName(args[0]))
			if err != nil {
				return p.refused(err)
			}
			content, err := indented(all)
			if err != nil {
				return err
			}
			return p.print(string(content))
		},
	}
}

func (p *Program) deleteEventCommand(o *serverFlags) *cobra.Command {
	var yes bool
	c := &cobra.Command{
		Use:     "delete EVENT",
		Short:   "Delete an event with its sheets, runs and links",
		Example: `  kinorder events delete ines-noor --yes --server localhost:7465`,
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if !yes {
				return errors.New("an event that is deleted cannot be brought back: export it first, then add --yes")
			}
			conn, err := p.connect(*o)
			if err != nil {
				return err
			}
			if err := conn.DeleteEvent(c.Context(), eventName(args[0])); err != nil {
				return p.refused(err)
			}
			return p.print("deleted " + eventName(args[0]) + "\n")
		},
	}
	c.Flags().BoolVar(&yes, "yes", false, "really delete it")
	return c
}

func (p *Program) events(ctx context.Context, asJSON bool, o serverFlags) error {
	conn, err := p.connect(o)
	if err != nil {
		return err
	}
	for e, err := range conn.Events(ctx) {
		if err != nil {
			return p.refused(err)
		}
		line := fmt.Sprintf("%s  version %d  %s  %s\n", e.GetName(), e.GetVersion(), e.GetUpdateTime().AsTime().Local().Format("2006-01-02 15:04"), printable(e.GetDisplayName()))
		if err := p.said(asJSON, e, line); err != nil {
			return err
		}
	}
	return nil
}
