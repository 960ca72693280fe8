// Package drawing gets a sheet ready to be drawn: what a drawing shows and a plan doesn't hold is worked out here, in
// one place for calls and pages, so that whoever asks for a sheet need not know what it takes.
package drawing

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"slices"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/outdoors"
	"kinorder.example/server/internal/placing"
	"kinorder.example/server/internal/sheet"
)

// Enter waits for a place at the gate, as gate.Gate does. What it returns is to be called when the work is done.
type Enter func(context.Context) (context.Context, func(), error)

// Ready draws a sheet, after it has put who stands where into it if the drawing shows that. Where ctx leaves no time
// for all photographs the others have no picture. The errors are those of Places and sheet.Draw.
func Ready(ctx context.Context, e event.Event, s event.CallSheet, o sheet.Options, enter Enter, log *slog.Logger) (sheet.Drawing, error) {
	if o.ShowsPlaces(e) {
		if err := Places(ctx, e, &s, enter, log); err != nil {
			return sheet.Drawing{}, err
		}
	}
	return sheet.Draw(e, s, o)
}

// Places puts who stands where, and with which lens, into a sheet that doesn't say so. It leaves the sheet alone when
// something is wrong with the event. A wrong plan costs one picture and a line in the log. The errors are those of enter, and gate.BusyError when a running day needed the
// place.
func Places(ctx context.Context, e event.Event, s *event.CallSheet, enter Enter, log *slog.Logger) error {
	if placed(*s) {
		return nil
	}
	advice, err := check.Within(ctx, e)
	if err != nil || len(event.Faults(advice)) > 0 {
		return err
	}
	s.Blocks = slices.Clone(s.Blocks) // the caller may have the sheet in other hands too
	for i := range s.Blocks {
		s.Blocks[i].Entries = slices.Clone(s.Blocks[i].Entries)
	}
	ctx, leave, err := enter(ctx)
	if err != nil {
		return err
	}
	defer leave()
	if err := told(ctx, placing.Day(ctx, e, s), log); err != nil {
		return err
	}
	if busy := (*gate.BusyError)(nil); errors.As(context.Cause(ctx), &busy) {
		return busy
	}
	outdoors.Reframe(e, s)
	return nil
}

// told logs that plans were left out, and returns what else went wrong.
func told(ctx context.Context, err error, log *slog.Logger) error {
	if wrong := (*placing.WrongPlansError)(nil); errors.As(err, &wrong) {
		log.LogAttrs(ctx, slog.LevelError, "standing plans left out", slog.Int("plans", wrong.Plans))
		return nil
	}
	if err != nil {
		return fmt.Errorf("drawing: %w", err)
	}
	return nil
}

func placed(s event.CallSheet) bool {
	for _, b := range s.Blocks {
		for _, entry := range b.Entries {
			if entry.Standing != nil {
				return true
			}
		}
	}
	return false
}
