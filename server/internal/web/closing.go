package web

import (
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/wording"
)

// shut says that the list of an event is closed for whoever asks. The studio goes on changing it.
func (s *Server) shut(r *request) bool {
	return !r.visitor.Studio && s.closed(r.work.Closes, r.work.Event.TimeZone)
}

// closed says that a list that closes on a day is closed by now, where the event is.
func (s *Server) closed(closes, zone string) bool { return closes != "" && closes <= s.today(zone) }

// today is the day in a time zone, and here where an event has none.
func (s *Server) today(zone string) string { return event.Event{TimeZone: zone}.Today(s.options.Now()) }

// closingOf says from when on a list is closed; empty when it closes on no day.
func (s *Server) closingOf(c *wording.Catalogue, closes, zone string) string {
	switch {
	case closes == "":
		return ""
	case s.closed(closes, zone):
		return c.Say("page.listIsClosed", c.LongDate(closes))
	}
	return c.Say("page.listCloses", c.LongDate(closes))
}

// commit keeps a version. ErrClosed when the list is closed for the visitor, and with it the plan.
func (s *Server) commit(r *request, next kept.Work) (kept.Work, error) {
	if s.shut(r) {
		return r.work, kept.ErrClosed
	}
	return s.options.Desk.Save(r.Context(), r.visitor, next)
}

// closeList closes the list from a day on, or opens it again. It is a step of the history, and undoing passes it over.
func (s *Server) closeList(r *request, act string) error {
	if !r.visitor.Studio {
		return kept.ErrNotYours
	}
	day, what := "", "opened"
	if act == "close" {
		what = "closed"
		if day = firstOf(r.form.Line("closes"), s.today(r.work.Event.TimeZone)); !dated(day) {
			return fields.ErrForm
		}
	}
	next := again(r.work, r.work, what)
	next.Back, next.Forth, next.Closing = r.work.Back, r.work.Forth, &day
	_, err := s.options.Desk.Save(r.Context(), r.visitor, next)
	return err
}

func dated(day string) bool {
	_, err := time.Parse(time.DateOnly, day)
	return err == nil
}
