package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"github.com/spf13/cobra"

	"kinorder.example/server"
)

func (p *Program) backupCommand() *cobra.Command {
	var data string
	c := &cobra.Command{
		Use:   "backup FILE",
		Short: "Copy what a server keeps in its data folder, while it runs",
		Long: `Backup writes all events, sheets, runs and links of a data folder into one new file, as of
one moment. A server may go on writing there. The studio key stays where it is: keep a copy of
studio.key apart. What is kept in PostgreSQL is copied with pg_dump.

Where the server hosts studios, FILE is a new folder, with a file for each of them.`,
		Example: `  kinorder backup /mnt/backup/kinorder-$(date +%F).db --data ~/kinorder`,
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if data == "" {
				return errors.New("name the folder with --data")
			}
			if err := server.Backup(c.Context(), data, args[0]); err != nil {
				return failed(err)
			}
			return p.print("backed up to " + printable(args[0]) + "\n")
		},
	}
	c.Flags().StringVar(&data, "data", "", "the data `FOLDER` of the server")
	return c
}

func (p *Program) restoreCommand() *cobra.Command {
	var data string
	c := &cobra.Command{
		Use:   "restore FILE",
		Short: "Make a data folder out of a backup",
		Long: `Restore puts what kinorder backup wrote into a data folder in which nothing is kept yet, and
looks whether it is whole; a folder with studios becomes one again. A server of this version can be started on it then; an older backup is
brought up to date. Put your studio.key beside it, or the server makes a new one.`,
		Example: `  kinorder restore /mnt/backup/kinorder-2026-06-14.db --data ~/kinorder-again`,
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if data == "" {
				return errors.New("name the folder with --data")
			}
			if err := server.Restore(c.Context(), args[0], data); err != nil {
				return failed(err)
			}
			return p.print("restored to " + printable(data) + "\n")
		},
	}
	c.Flags().StringVar(&data, "data", "", "the data `FOLDER` to make")
	return c
}

// importEventCommand keeps what events export wrote.
func (p *Program) importEventCommand() *cobra.Command {
	var at server.Place
	var studio string
	c := &cobra.Command{
		Use:   "import FILE",
		Short: "Keep an event as events export wrote it, on another server or again",
		Long: `Import keeps all of an event that kinorder events export wrote, under the same names: its versions,
sheets, runs with their marks, and what families wished. It works on the data folder or the database
of a server, which may run. Secrets are in no export: share the event anew. An event of that name must
not be there.`,
		Example: `  kinorder events import whole.json --data ~/kinorder
  kinorder events import whole.json --data /var/lib/kinorder --studio heron`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			at, err := placeOf(at)
			if err != nil {
				return err
			}
			content, err := os.ReadFile(args[0])
			if err != nil {
				return failed(err)
			}
			name, err := server.PutBack(c.Context(), at, studio, content)
			switch {
			case errors.Is(err, server.ErrNoExport):
				return invalid(fmt.Errorf("%s: %w", args[0], err))
			case errors.Is(err, server.ErrExists):
				return invalid(fmt.Errorf("there is %s already: delete it first, or leave it", name))
			case errors.Is(err, server.ErrNotFound) && studio != "":
				return studioError(studio, err)
			case err != nil:
				return failed(err)
			}
			return p.print("kept " + name + "\n")
		},
	}
	c.Flags().StringVar(&at.Data, "data", "", "the data `FOLDER` of the server (KINORDER_DATA)")
	c.Flags().StringVar(&at.Postgres, "postgres", "", "the connection `STRING` of its database (KINORDER_POSTGRES)")
	c.Flags().StringVar(&studio, "studio", "", "the `NAME` of a studio that the server hosts (default: the server's own)")
	return c
}

// pruneCommand deletes events that are long past.
func (p *Program) pruneCommand(o *serverFlags) *cobra.Command {
	after := duration{flag: "--after", example: "90d"}
	var yes bool
	c := &cobra.Command{
		Use:   "prune",
		Short: "Delete events some time after their date",
		Long: `Prune lists the events whose date is longer ago than --after, and with --yes deletes them with
their sheets, runs and links. Events without a date stay.`,
		Example: `  kinorder events prune --after 90d --server localhost:7465
  kinorder events prune --after 90d --yes --server localhost:7465`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if after.span == 0 {
				return errors.New("say with --after how long events are kept after their date, for example 90d")
			}
			return p.prune(c.Context(), after.span, yes, *o)
		},
	}
	c.Flags().Var(&after, "after", "how `LONG` events are kept after their date, such as 90d")
	c.Flags().BoolVar(&yes, "yes", false, "really delete them")
	return c
}

func (p *Program) prune(ctx context.Context, after time.Duration, yes bool, o serverFlags) error {
	conn, err := p.connect(o)
	if err != nil {
		return err
	}
	var old []string
	for listed, err := range conn.Events(ctx) {
		if err != nil {
			return p.refused(err)
		}
		e, err := conn.Event(ctx, listed.GetName())
		if err != nil {
			return p.refused(err)
		}
		day, err := time.ParseInLocation(time.DateOnly, e.GetEvent().GetDate(), time.Local)
		if err == nil && time.Since(day) > after+24*time.Hour { // the day itself is over by then
			old = append(old, e.GetName())
		}
	}
	for _, name := range old {
		word := "would delete "
		if yes {
			word = "deleted "
			if err := conn.DeleteEvent(ctx, name); err != nil {
				return p.refused(err)
			}
		}
		if err := p.print(word + name + "\n"); err != nil {
			return err
		}
	}
	if len(old) > 0 && !yes {
		fmt.Fprintln(p.Stderr, "kinorder: nothing is deleted yet: add --yes")
	}
	return nil
}
