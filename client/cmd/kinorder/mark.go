package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"google.golang.org/protobuf/types/known/timestamppb"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// markWords are the words of mark and what follows each; what is in brackets may be left out.
var markWords = []struct{ word, takes, says string }{
	{"start", "GROUPING", "it is being called"},
	{"taken", "GROUPING", "it is finished"},
	{"back", "GROUPING", "it is open again"},
	{"later", "GROUPING", "it is left for later"},
	{"absent", "PERSON", "cannot be found"},
	{"arrived", "PERSON", "is there"},
	{"gone", "PERSON", "has left for good"},
	{"late", "PERSON TIME", "comes at a time such as 2026-06-13T16:40:00+02:00"},
	{"without", "GROUPING [PERSON...]", "it may be taken without them; nobody named: it waits for all"},
	{"add", "TITLE MEMBER [MEMBER...]", "a photo that was not on the list, of people and groups"},
	{"note", "TEXT", "for the planner and the lead photographer only"},
	{"undo", "[MARK]", "a mark does not count, or the last one"},
}

// markFlags are the flags of mark.
type markFlags struct {
	serverFlags
	run  string
	anew bool
}

func (p *Program) markCommand() *cobra.Command {
	var o markFlags
	var help strings.Builder
	var words []string
	for _, w := range markWords {
		fmt.Fprintf(&help, "  %-32s %s\n", w.word+" "+w.takes, w.says)
		words = append(words, cobra.CompletionWithDesc(w.word, w.says))
	}
	c := &cobra.Command{
		Use:   "mark EVENT WORD [WHAT...]",
		Short: "Say what happened on the day, for scripts",
		Long: `Mark keeps one mark of a run, as the page of the day does when a button is pressed, and prints
a line: the run, how many changes it has had, and the id of the mark. Groupings, people and
circles are named by their ids. Without a run it begins one with the newest sheet.

` + help.String(),
		Example: `  kinorder mark ines-noor taken all --server localhost:7465
  kinorder mark ines-noor absent rui --server localhost:7465
  kinorder mark ines-noor undo --server localhost:7465`,
		Args: cobra.MinimumNArgs(2),
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 1 {
				return words, cobra.ShellCompDirectiveNoFileComp
			}
			return nil, cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(c *cobra.Command, args []string) error {
			if o.anew && o.run != "" {
				return errors.New("use --run or --new, not both")
			}
			m, err := markOf(args[1], args[2:])
			if err != nil {
				return err
			}
			return p.mark(c.Context(), eventName(args[0]), m, o)
		},
	}
	o.add(c, keptThere)
	c.Flags().StringVar(&o.run, "run", "", "the `ID` of the run (default: the newest)")
	c.Flags().BoolVar(&o.anew, "new", false, "begin a new run with the newest sheet")
	return c
}

// markOf makes a mark of a word and what follows it. What the ids stand for is known to the server.
func markOf(word string, what []string) (*kinorderv1.Mark, error) {
	if err := rightMany(word, len(what)); err != nil {
		return nil, err
	}
	m := &kinorderv1.Mark{}
	switch word {
	case "start":
		m.Kind = &kinorderv1.Mark_Started{Started: &kinorderv1.GroupingMark{Grouping: what[0]}}
	case "taken":
		m.Kind = &kinorderv1.Mark_Taken{Taken: &kinorderv1.GroupingMark{Grouping: what[0]}}
	case "back":
		m.Kind = &kinorderv1.Mark_PutBack{PutBack: &kinorderv1.GroupingMark{Grouping: what[0]}}
	case "later":
		m.Kind = &kinorderv1.Mark_Skipped{Skipped: &kinorderv1.GroupingMark{Grouping: what[0]}}
	case "absent":
		m.Kind = &kinorderv1.Mark_Absent{Absent: what[0]}
	case "arrived":
		m.Kind = &kinorderv1.Mark_Arrived{Arrived: what[0]}
	case "gone":
		m.Kind = &kinorderv1.Mark_Gone{Gone: what[0]}
	case "late":
		until, err := time.Parse(time.RFC3339, what[1])
		if err != nil {
			return nil, fmt.Errorf("say when, for example 2026-06-13T16:40:00+02:00; %q is no such time", what[1])
		}
		m.Kind = &kinorderv1.Mark_Late{Late: &kinorderv1.LateMark{Person: what[0], UntilTime: timestamppb.New(until)}}
	case "without":
		m.Kind = &kinorderv1.Mark_Without{Without: &kinorderv1.WithoutMark{Grouping: what[0], People: what[1:]}}
	case "add":
		m.Kind = &kinorderv1.Mark_Added{Added: &kinorderv1.Grouping{Id: "day-" + client.NewID(), Title: what[0], Members: what[1:]}}
	case "note":
		m.Kind = &kinorderv1.Mark_Note{Note: what[0]}
	case "undo":
		m.Kind = &kinorderv1.Mark_Undone{Undone: strings.Join(what, "")}
	}
	return m, nil
}

// rightMany says what is wrong with a word, or with how much follows it.
func rightMany(word string, n int) error {
	var all []string
	for _, w := range markWords {
		takes := strings.Fields(w.takes)
		least := len(takes) - strings.Count(w.takes, "[")
		switch {
		case w.word != word:
			all = append(all, w.word)
		case n < least || n > len(takes) && !strings.Contains(w.takes, "..."):
			return fmt.Errorf("write %s %s; %d given", w.word, w.takes, n)
		default:
			return nil
		}
	}
	return fmt.Errorf("there is no word %q; the words are %s", word, strings.Join(all, ", "))
}

func (p *Program) mark(ctx context.Context, event string, m *kinorderv1.Mark, o markFlags) error {
	conn, err := p.connect(o.serverFlags)
	if err != nil {
		return err
	}
	run, err := findRun(ctx, conn, event, o)
	if err != nil {
		return p.refused(err)
	}
	if undo, ok := m.GetKind().(*kinorderv1.Mark_Undone); ok && undo.Undone == "" {
		if undo.Undone, err = lastMark(ctx, conn, run); err != nil {
			return p.refused(err)
		}
		if undo.Undone == "" {
			return invalid(errors.New("there is nothing to undo"))
		}
	}
	sequence, err := conn.AddMarks(ctx, run.GetName(), m)
	if err != nil {
		return p.refused(err)
	}
	return p.print(fmt.Sprintf("%s  %d  %s\n", run.GetName(), sequence, m.GetId()))
}

// lastMark is the id of the last mark of a run that can be undone, empty if there is none.
func lastMark(ctx context.Context, conn *client.Client, run *kinorderv1.Run) (string, error) {
	ctx, cancel := context.WithTimeout(ctx, callTime)
	defer cancel()
	var now client.RunView
	for u, err := range conn.WatchRun(ctx, run.GetName(), 0) {
		if err != nil {
			return "", err
		}
		if now.Apply(u); now.Sequence >= run.GetSequence() {
			break
		}
	}
	return now.Undoable, nil
}

// findRun returns the run that is meant, and begins one when there is none.
func findRun(ctx context.Context, conn *client.Client, event string, o markFlags) (*kinorderv1.Run, error) {
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
