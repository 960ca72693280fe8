package server

import (
	"context"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// counted has searches of calls and pages counted.
func (s *Server) counted(plan planning.Func) planning.Func {
	return func(ctx context.Context, e event.Event, o planning.Options) (event.CallSheet, error) {
		began := time.Now()
		sheet, err := plan(ctx, e, o)
		s.counts.Search("plan", outcome(err, sheet.Totals.Proven), time.Since(began))
		return sheet, err
	}
}

// replan is planning.Replan, counted.
func (s *Server) replan(ctx context.Context, e event.Event, t planning.Today, o planning.Options) (planning.Outlook, error) {
	began := time.Now()
	outlook, err := planning.Replan(ctx, e, t, o)
	s.counts.Search("replan", outcome(err, outlook.Sheet.Totals.Proven), time.Since(began))
	return outlook, err
}

// outcome is how a search ended, in a word of metrics.
func outcome(err error, proven bool) string {
	switch {
	case err != nil:
		return "none"
	case proven:
		return "proven"
	}
	return "found"
}
