package server

import (
	"context"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// counted has searches of calls and pages counted and traced.
func (s *Server) counted(plan planning.Func) planning.Func {
	return func(ctx context.Context, e event.Event, o planning.Options) (event.CallSheet, error) {
		ended := s.searching(&ctx, "plan", e)
		sheet, err := plan(ctx, e, o)
		ended(err, sheet.Totals.Proven)
		return sheet, err
	}
}

// replan is planning.Replan, counted and traced.
func (s *Server) replan(ctx context.Context, e event.Event, t planning.Today, o planning.Options) (planning.Outlook, error) {
	ended := s.searching(&ctx, "replan", e)
	outlook, err := planning.Replan(ctx, e, t, o)
	ended(err, outlook.Sheet.Totals.Proven)
	return outlook, err
}

// searching counts and traces a search.
func (s *Server) searching(ctx *context.Context, kind string, e event.Event) (ended func(err error, proven bool)) {
	began := time.Now()
	under, span := s.traces.Search(*ctx, kind, len(e.People), len(e.Groupings))
	*ctx = under
	return func(err error, proven bool) {
		end := outcome(err, proven)
		s.counts.Search(kind, end, time.Since(began))
		span.EndSearch(end)
	}
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
