package main

import (
	"bufio"
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"kinorder.example/server"
)

// studioFlags are those of the commands about studios.
type studioFlags struct {
	place   server.Place
	limits  server.Limits
	storage size
	purge   bool
	yes     bool
}

func (p *Program) studioCommand() *cobra.Command {
	var o studioFlags
	root := &cobra.Command{
		Use:   "studio",
		Short: "Host several studios on one server",
		Long: `Studio adds, lists and removes the studios that a server hosts beside its own. Each has a store
and a key of its own, and sees nothing of another. The commands work on the data folder or the
database of the server, which may run: it notices within seconds.

Keys and the secrets of links begin with the name of their studio, and families see those: a name
should give nothing away.`,
		Example: `  kinorder studio add heron --data /var/lib/kinorder --events 200 --storage 2GB --searches 2
  kinorder studio list --data /var/lib/kinorder
  kinorder studio limit heron --data /var/lib/kinorder --events 500
  kinorder studio rotate heron --data /var/lib/kinorder
  kinorder studio remove heron --data /var/lib/kinorder`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return errors.New("name what to do: add, list, limit, rotate or remove")
		},
	}
	root.PersistentFlags().StringVar(&o.place.Data, "data", "", "the data `FOLDER` of the server (KINORDER_DATA)")
	root.PersistentFlags().StringVar(&o.place.Postgres, "postgres", "", "the connection `STRING` of its database (KINORDER_POSTGRES)")
	command := func(use, short string, do func(context.Context, *server.Studios, string) error) *cobra.Command {
		c := &cobra.Command{Use: use, Short: short, Args: cobra.ExactArgs(strings.Count(use, " ")), RunE: func(c *cobra.Command, args []string) error {
			return p.withStudios(c.Context(), o.place, append(args, "")[0], do)
		}}
		root.AddCommand(c)
		return c
	}
	limit := func(c *cobra.Command) {
		c.Flags().Int64Var(&o.limits.Events, "events", 0, "`HOW MANY` events it may have; 0 is any number")
		c.Flags().Int64Var(&o.limits.People, "people", 0, "`HOW MANY` people an event of it may have; 0 is any number")
		c.Flags().Int64Var(&o.limits.Searches, "searches", 0, "`HOW MANY` searches of it run at once, replans of running days aside; 0 is any number")
		c.Flags().Var(&o.storage, "storage", "`HOW MUCH` it may keep, such as 500MB or 2GB; 0 is any amount")
	}
	limit(command("add NAME", "Add a studio and print its key, this once", func(ctx context.Context, l *server.Studios, name string) error {
		return p.addStudio(ctx, l, name, o)
	}))
	limit(command("limit NAME", "Give a studio other limits than it has", func(ctx context.Context, l *server.Studios, name string) error {
		return studioError(name, l.Limit(ctx, name, o.all()))
	}))
	command("list", "List the studios, how much they have and how much they may have", func(ctx context.Context, l *server.Studios, _ string) error {
		return p.listStudios(ctx, l)
	})
	command("rotate NAME", "Give a studio another key and print it, this once; links stay", func(ctx context.Context, l *server.Studios, name string) error {
		key, err := l.Rotate(ctx, name)
		return p.printKey(name, key, err)
	})
	remove := command("remove NAME", "Remove a studio; a copy of what it kept stays", func(ctx context.Context, l *server.Studios, name string) error {
		return p.removeStudio(ctx, l, name, o)
	})
	remove.Flags().BoolVar(&o.purge, "purge", false, "keep no copy")
	remove.Flags().BoolVar(&o.yes, "yes", false, "do not ask")
	return root
}

func (o studioFlags) all() server.Limits {
	o.limits.Bytes = int64(o.storage)
	return o.limits
}

// withStudios opens the list of studios and does something with it.
func (p *Program) withStudios(ctx context.Context, at server.Place, name string, do func(context.Context, *server.Studios, string) error) error {
	at, err := placeOf(at)
	if err != nil {
		return err
	}
	if name != "" && !server.ValidStudio(name) {
		return invalid(fmt.Errorf("%q is not a name for a studio: it has 2 to 40 letters a to z, digits and hyphens, and begins with a letter", name))
	}
	list, err := at.Studios(ctx, true)
	if err != nil {
		return failed(err)
	}
	err = do(ctx, list, name)
	if closed := list.Close(); err == nil && closed != nil {
		err = failed(closed)
	}
	return err
}

// placeOf is where a server keeps things, by flags or else by the environment.
func placeOf(at server.Place) (server.Place, error) {
	if at.Data == "" && at.Postgres == "" {
		at = server.Place{Data: os.Getenv("KINORDER_DATA"), Postgres: os.Getenv("KINORDER_POSTGRES")}
	}
	if (at.Data == "") == (at.Postgres == "") {
		return at, errors.New("name the data folder of the server with --data, or its database with --postgres")
	}
	return at, nil
}

// studioError says what stands in the way.
func studioError(name string, err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, server.ErrNotFound):
		return invalid(fmt.Errorf("there is no studio %s: kinorder studio list shows them", name))
	case errors.Is(err, server.ErrExists):
		return invalid(fmt.Errorf("there is a studio %s already", name))
	}
	return failed(err)
}

func (p *Program) addStudio(ctx context.Context, l *server.Studios, name string, o studioFlags) error {
	key, err := l.Add(ctx, name, o.all())
	return p.printKey(name, key, err)
}

// printKey prints a key alone, so that a program may read it.
func (p *Program) printKey(name, key string, err error) error {
	if err != nil {
		return studioError(name, err)
	}
	fmt.Fprintf(p.Stderr, "kinorder: the key of %s is shown this once: it opens every event of the studio, and only its hash is kept\n", name)
	return p.print(key + "\n")
}

func (p *Program) listStudios(ctx context.Context, l *server.Studios) error {
	all, err := l.List(ctx)
	if err != nil {
		return failed(err)
	}
	var text strings.Builder
	w := tabwriter.NewWriter(&text, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "NUMBER\tNAME\tEVENTS\tSTORAGE\tPEOPLE\tSEARCHES\tSINCE")
	of := func(has, most string) string {
		if most == "0" {
			return has
		}
		return has + " of " + most
	}
	orAny := func(most int64) string { return cmp.Or(strings.TrimPrefix(strconv.FormatInt(most, 10), "0"), "any") }
	for _, s := range all {
		events, bytes, err := l.Used(ctx, s.Name)
		if err != nil {
			return failed(err)
		}
		storage := size(s.Bytes)
		fmt.Fprintf(w, "%d\t%s\t%s\t%s\t%s\t%s\t%s\n", s.Number, s.Name, of(strconv.FormatInt(events, 10), strconv.FormatInt(s.Events, 10)),
			of(new(size(bytes)).String(), storage.String()), orAny(s.People), orAny(s.Searches), s.Created.Local().Format(time.DateOnly))
	}
	_ = w.Flush() // into memory
	return p.print(text.String())
}

func (p *Program) removeStudio(ctx context.Context, l *server.Studios, name string, o studioFlags) error {
	events, _, err := l.Used(ctx, name)
	if err != nil {
		return studioError(name, err)
	}
	if !o.yes {
		what := "a copy stays"
		if o.purge {
			what = "nothing stays"
		}
		fmt.Fprintf(p.Stderr, "Remove %s with %s (%s)? Its key and links end. Write its name to go on: ", name, counted(int(events), "event", "events"), what)
		answer, _ := bufio.NewReader(p.Stdin).ReadString('\n') // an end without a line is a no
		if strings.TrimSpace(answer) != name {
			return failed(errors.New("nothing was removed"))
		}
	}
	moved, err := l.Remove(ctx, name, o.purge)
	if err != nil {
		return studioError(name, err)
	}
	text := "removed " + name
	if moved != "" {
		text += "; what it kept is in " + printable(moved)
	}
	return p.print(text + "\n")
}

// size is a flag that takes bytes.
type size int64

var sizes = []struct {
	unit  string
	bytes int64
}{{"GB", 1e9}, {"MB", 1e6}, {"kB", 1e3}}

// String, Set and Type make it a flag.
func (s *size) String() string {
	for _, u := range sizes {
		if n := float64(*s) / float64(u.bytes); n >= 1 {
			return strings.TrimSuffix(strconv.FormatFloat(n, 'f', 1, 64), ".0") + " " + u.unit
		}
	}
	return strconv.FormatInt(int64(*s), 10)
}

// Set reads bytes.
func (s *size) Set(text string) error {
	number, times := text, int64(1)
	for _, u := range sizes {
		if rest, ok := strings.CutSuffix(strings.ToLower(text), strings.ToLower(u.unit)); ok {
			number, times = strings.TrimSpace(rest), u.bytes
		}
	}
	n, err := strconv.ParseFloat(number, 64)
	if err != nil || n < 0 || n*float64(times) > 1e15 {
		return errors.New("write an amount such as 500MB or 2GB")
	}
	*s = size(n * float64(times))
	return nil
}

// Type names it in errors.
func (s *size) Type() string { return "size" }
