package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// runFlags are the flags of run.
type runFlags struct {
	serverFlags
	run    string
	anew   bool
	follow bool
}

const runWords = `  start [GROUPING]            a grouping is being called; without one the next
  taken [GROUPING]            it is finished; without one the current
  back GROUPING               it is open again
  later [GROUPING]            it is left for later; without one the current, else the next
  absent PERSON               cannot be found
  arrived PERSON              is there
  gone PERSON                 has left for good
  late PERSON 16:40           comes at that time
  without GROUPING PERSON...  it may be taken without them; nobody named: it waits for all
  add TITLE: PERSON, PERSON   a grouping that was not on the list
  note TEXT                   for the planner and the lead only
  undo                        the last mark does not count
  show                        print what is left
  quit`

func (p *Program) runCommand() *cobra.Command {
	o := &runFlags{}
	c := &cobra.Command{
		Use:   "run EVENT",
		Short: "Go through a call sheet: mark what happens, see what is left",
		Long: `Run shows what is to be taken now and next, when it will be finished and what is owed, and
reads what happened from the standard input, a line each:

` + runWords + `

Groupings and people are named by their ids, or by the beginning of what they are called. The
order of what is left is planned anew after every line. Without a run it begins one with the
newest sheet. At the end of the input it prints what is left.`,
		Example: `  kinorder run ines-noor --server localhost:7465
  printf 'start all\ntaken\nabsent rui\n' | kinorder run ines-noor --server localhost:7465
  kinorder run ines-noor --follow --server localhost:7465 < /dev/null`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if o.anew && o.run != "" {
				return errors.New("use --run or --new, not both")
			}
			return p.run(c.Context(), eventName(args[0]), o)
		},
	}
	o.add(c, keptThere)
	f := c.Flags()
	f.StringVar(&o.run, "run", "", "the `ID` of the run (default: the newest)")
	f.BoolVar(&o.anew, "new", false, "begin a new run with the newest sheet")
	f.BoolVar(&o.follow, "follow", false, "go on showing changes after the end of the input")
	return c
}

// runSession is one run as the program follows it.
type runSession struct {
	p       *Program
	conn    *client.Client
	run     string
	event   *kinorderv1.Event
	updates chan *kinorderv1.RunUpdate
	broken  chan error
	sent    int64 // the sequence with the last mark
	now     client.RunView
}

func (p *Program) run(ctx context.Context, event string, o *runFlags) error {
	conn, err := p.kept(o.serverFlags)
	if err != nil {
		return err
	}
	r, err := p.findRun(ctx, conn, event, o)
	if err != nil {
		return p.refused(err)
	}
	stored, err := conn.EventAt(ctx, event, r.GetEventVersion())
	if err != nil {
		return p.refused(err)
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	s := &runSession{p: p, conn: conn, run: r.GetName(), event: stored.GetEvent(), updates: make(chan *kinorderv1.RunUpdate), broken: make(chan error, 1)}
	go s.watch(ctx)
	if err := s.settle(ctx, true); err != nil {
		return err
	}
	if err := p.print(s.view()); err != nil {
		return err
	}
	return s.loop(ctx, o.follow)
}

// findRun returns the run that is meant, and begins one when there is none.
func (p *Program) findRun(ctx context.Context, conn *client.Client, event string, o *runFlags) (*kinorderv1.Run, error) {
	if o.run != "" {
		name := o.run
		if !strings.Contains(name, "/") {
			name = event + "/runs/" + name
		}
		return conn.Run(ctx, name)
	}
	var newest *kinorderv1.Run
	for r, err := range conn.Runs(ctx, event) {
		if err != nil {
			return nil, err
		}
		newest = r
	}
	if newest != nil && !o.anew {
		return newest, nil
	}
	var sheet *kinorderv1.StoredSheet
	for c, err := range conn.Sheets(ctx, event) {
		if err != nil {
			return nil, err
		}
		sheet = c
	}
	if sheet == nil {
		var err error
		if sheet, err = conn.CreateSheet(ctx, event, client.PlanOptions{}); err != nil {
			return nil, err
		}
	}
	return conn.CreateRun(ctx, event, sheet.GetName())
}

func (s *runSession) watch(ctx context.Context) {
	for u, err := range s.conn.WatchRun(ctx, s.run, 0) {
		if err != nil {
			s.broken <- err
			return
		}
		select {
		case s.updates <- u:
		case <-ctx.Done():
			return
		}
	}
}

// planTime is how long to wait for a plan before showing the one before.
const planTime = 10 * time.Second

// settle waits until the last mark is seen, and if it is wanted until a plan heeds it.
func (s *runSession) settle(ctx context.Context, plan bool) error {
	heard := s.now.Groupings != nil
	timeout := time.NewTimer(planTime)
	defer timeout.Stop()
	for !heard || s.now.Sequence < s.sent || plan && (s.now.Outlook == nil || s.now.Covered < s.sent) {
		select {
		case u := <-s.updates:
			s.now.Apply(u)
			heard = true
		case err := <-s.broken:
			return s.ended(ctx, err)
		case <-timeout.C:
			if !heard {
				return failed(errors.New("the server does not answer"))
			}
			return nil
		}
	}
	return nil
}

// ended is how a watch ends: by the user is no error.
func (s *runSession) ended(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return nil
	}
	return s.p.refused(err)
}

// loop reads lines and shows changes until the input ends or the user quits.
func (s *runSession) loop(ctx context.Context, follow bool) error {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for in := bufio.NewScanner(s.p.Stdin); in.Scan(); {
			select {
			case lines <- in.Text():
			case <-ctx.Done():
				return
			}
		}
	}()
	for {
		select {
		case u := <-s.updates:
			s.now.Apply(u)
			// Somebody watches: show what others did too. In a pipe only what is asked for is printed.
			if (u.GetOutlook() != nil || notes(u)) && (s.p.Width > 0 || follow && lines == nil) {
				if err := s.p.print(s.view()); err != nil {
					return err
				}
			}
		case err := <-s.broken:
			return s.ended(ctx, err)
		case line, more := <-lines:
			if !more && follow {
				lines = nil
				continue
			}
			if !more || strings.TrimSpace(line) == "quit" {
				return s.finish(ctx)
			}
			if err := s.line(ctx, line); err != nil {
				return err
			}
		}
	}
}

// notes reports whether there are notes in an update.
func notes(u *kinorderv1.RunUpdate) bool {
	return slices.ContainsFunc(u.GetMarks(), func(m *kinorderv1.Mark) bool { return m.GetNote() != "" })
}

func (s *runSession) finish(ctx context.Context) error {
	if s.sent == 0 {
		return nil
	}
	if err := s.settle(ctx, true); err != nil {
		return err
	}
	return s.p.print(s.view())
}

// line does what a line says. What cannot be done is said and does not end the program.
func (s *runSession) line(ctx context.Context, line string) error {
	words := strings.Fields(line)
	if len(words) == 0 || strings.HasPrefix(words[0], "#") {
		return nil
	}
	if err := s.settle(ctx, words[0] == "show"); err != nil {
		return err
	}
	if words[0] == "show" {
		return s.p.print(s.view())
	}
	m, said, err := s.mark(words[0], strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(line), words[0])))
	if err != nil {
		fmt.Fprintf(s.p.Stderr, "kinorder: %s\n", printable(err.Error()))
		return nil
	}
	m.Id = client.NewID()
	sequence, err := s.conn.AddMarks(ctx, s.run, m)
	if err != nil {
		fmt.Fprintf(s.p.Stderr, "kinorder: this was not kept, say it again later: %s\n", printable(line))
		return s.p.refused(err)
	}
	s.sent = sequence
	return s.p.print(said + "\n")
}
