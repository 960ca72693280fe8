package main

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"google.golang.org/protobuf/types/known/timestamppb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// view is a run for a terminal: what is taken now, what is next, when it ends, who is missing, what
// cannot be planned.
func (s *runSession) view() string {
	var b strings.Builder
	fmt.Fprintf(&b, "\n%s  %s\n", printable(s.event.GetTitle()), s.run)
	taken := 0
	for _, g := range s.now.Groupings {
		if g.GetState() == kinorderv1.GroupingState_STATE_TAKEN {
			taken++
		}
	}
	fmt.Fprintf(&b, "%d taken, %d owed\n", taken, len(s.now.Outlook.GetOwed()))
	for _, block := range s.now.Outlook.GetSheet().GetBlocks() {
		s.block(&b, block)
	}
	s.forecasts(&b)
	s.missing(&b)
	s.waiting(&b)
	for _, n := range s.now.Notes() {
		fmt.Fprintf(&b, "Note     %s  %s\n", s.time(n.GetHappenTime()), printable(n.GetNote()))
	}
	return b.String()
}

// shownNext is how many groupings are shown with the names to call; the others are a line each.
const shownNext = 2

func (s *runSession) block(b *strings.Builder, block *kinorderv1.SheetBlock) {
	if len(block.GetEntries()) == 0 {
		return
	}
	if name := s.blockName(block.GetBlock()); name != "" {
		fmt.Fprintf(b, "\n%s\n", printable(name))
	}
	current := s.current()
	shown := 0
	for _, e := range block.GetEntries() {
		label := "         "
		switch {
		case slices.Contains(current, e.GetGrouping()):
			label = "Now      "
		case shown == 0:
			label = "Next     "
			shown++
		default:
			shown++
		}
		fmt.Fprintf(b, "%s%s  %s  (%s)\n", label, s.time(e.GetStartTime()), printable(e.GetTitle()), e.GetGrouping())
		if shown <= shownNext && len(e.GetStepIn()) > 0 {
			fmt.Fprintf(b, "         call %s\n", s.people(e.GetStepIn()))
		}
		if shown <= shownNext && len(e.GetReleased()) > 0 {
			fmt.Fprintf(b, "         free to go then: %s\n", s.people(e.GetReleased()))
		}
	}
}

func (s *runSession) blockName(id string) string {
	for _, block := range s.event.GetBlocks() {
		if block.GetId() == id {
			if block.GetTitle() != "" {
				return block.GetTitle()
			}
			return id
		}
	}
	return id
}

func (s *runSession) forecasts(b *strings.Builder) {
	for _, f := range s.now.Outlook.GetForecasts() {
		b.WriteString("Finish   ")
		if len(s.now.Outlook.GetForecasts()) > 1 {
			b.WriteString(printable(s.blockName(f.GetBlock())) + ": ")
		}
		fmt.Fprintf(b, "%s likely, %s safe", s.time(f.GetFinishTime()), s.time(f.GetSafeFinishTime()))
		if f.GetCloseTime() != nil {
			minutes := int(math.Round(f.GetOver().AsDuration().Minutes()))
			switch {
			case minutes > 0:
				fmt.Fprintf(b, ", %s over %s", counted(minutes, "minute", "minutes"), s.time(f.GetCloseTime()))
			default:
				fmt.Fprintf(b, ", %s to spare before %s", counted(-minutes, "minute", "minutes"), s.time(f.GetCloseTime()))
			}
		}
		fmt.Fprintf(b, ", pace %.2f after %d\n", f.GetPace(), f.GetTimed())
		if len(f.GetDrop()) > 0 {
			var titles []string
			for _, id := range f.GetDrop() {
				titles = append(titles, s.owedTitle(id))
			}
			fmt.Fprintf(b, "         do without to end in time: %s\n", strings.Join(titles, ", "))
		}
	}
}

func (s *runSession) owedTitle(id string) string {
	for _, o := range s.now.Outlook.GetOwed() {
		if o.GetGrouping() == id {
			return printable(o.GetTitle())
		}
	}
	return id
}

func (s *runSession) missing(b *strings.Builder) {
	for _, id := range slices.Sorted(maps.Keys(s.now.People)) {
		p := s.now.People[id]
		word := "absent"
		switch p.GetState() {
		case kinorderv1.PersonState_STATE_GONE:
			word = "gone"
		case kinorderv1.PersonState_STATE_LATE:
			word = "comes at " + s.time(p.GetUntilTime())
		}
		fmt.Fprintf(b, "Missing  %s, %s\n", s.people([]string{p.GetPerson()}), word)
	}
}

// waiting lists what is owed and not planned, with who is needed.
func (s *runSession) waiting(b *strings.Builder) {
	for _, o := range s.now.Outlook.GetOwed() {
		if o.GetPlanned() {
			continue
		}
		fmt.Fprintf(b, "Owed     %s  (%s)", printable(o.GetTitle()), o.GetGrouping())
		switch {
		case len(o.GetMissing()) > 0:
			fmt.Fprintf(b, ": waits for %s", s.people(o.GetMissing()))
			if o.GetOfferWithout() {
				fmt.Fprintf(b, "; or: without %s %s", o.GetGrouping(), strings.Join(o.GetMissing(), " "))
			}
		case o.GetReason() != "":
			fmt.Fprintf(b, ": %s", printable(o.GetReason()))
		}
		fmt.Fprintf(b, "\n         needs %s\n", s.people(o.GetNeeded()))
	}
}

func (s *runSession) people(ids []string) string {
	var out []string
	for _, id := range ids {
		name := id
		for _, p := range s.event.GetPeople() {
			if p.GetId() == id {
				name = p.GetName()
			}
		}
		out = append(out, printable(name))
	}
	return strings.Join(out, ", ")
}

func (s *runSession) time(t *timestamppb.Timestamp) string {
	if t == nil {
		return "--:--"
	}
	return t.AsTime().In(s.location()).Format("15:04")
}
