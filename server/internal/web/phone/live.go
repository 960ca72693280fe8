package phone

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// occasion is the event that a run is about, as the holder of a link may see it, and what is behind that.
func (p *Page) occasion(ctx context.Context, r *request, ref run.Ref) (event.Event, behind, error) {
	o, err := p.o.Store.Occasion(ctx, ref)
	return access.Shown(r.grant, o.Event), behindOf(o.Event), err
}

// open lets a browser in and gives it what does not change. For a lead it begins a run of the newest
// sheet when there is none, or only one that nobody has marked.
func (p *Page) open(w http.ResponseWriter, r *request) (any, error) {
	ctx := r.Context()
	setCookie(w, r, keepFor)
	sheet, err := p.newestSheet(ctx, r.grant.Event)
	if err != nil {
		return nil, err
	}
	now, begun, err := p.newestRun(ctx, r.grant.Event)
	if err != nil {
		return nil, err
	}
	old := !begun || stale(now, sheet)
	if old && sheet.ID != "" && r.allowMarks() == nil {
		marked := false
		if begun {
			u, err := p.o.Desk.View(ctx, now.Ref)
			if err != nil {
				return nil, err
			}
			marked = len(u.Marks) > 0
		}
		if !marked {
			// Several phones that open at once begin one run. When that was deleted, the next is made anew.
			now, err = p.beginRun(ctx, "phone-"+sheet.ID, r.grant.Event, sheet.ID)
			if errors.Is(err, store.ErrNotFound) {
				now, err = p.beginRun(ctx, "", r.grant.Event, sheet.ID)
			}
			if err != nil {
				return nil, err
			}
			begun, old = true, false
		}
	}
	if !begun {
		if r.allowMarks() == nil {
			return nil, errNoSheet
		}
		return whole{Link: r.grant.Link, Role: r.grant.Role, Event: r.grant.Event}, nil
	}
	e, more, err := p.occasion(ctx, r, now.Ref)
	if err != nil {
		return nil, err
	}
	out := wholeOf(r.grant, e, more)
	out.Run, out.Newer = now.Ref.Run, old && r.allowMarks() == nil
	out.Core = hasCore() && r.allowMarks() == nil
	return out, nil
}

// core gives the phone of a lead all that planning goes by. Nobody else gets it: rules tell of tensions in a family.
func (p *Page) core(_ http.ResponseWriter, r *request) (any, error) {
	if err := r.allowMarks(); err != nil {
		return nil, err
	}
	ref, err := r.run()
	if err != nil {
		return nil, err
	}
	return p.o.Store.Occasion(r.Context(), ref)
}

// stale says that a run is not of the newest sheet.
func stale(now run.Run, newest store.Sheet) bool {
	return newest.ID != "" && now.Sheet != newest.ID && now.Version < newest.Version
}

// newestSheet is the sheet of an event that was made last; its id is empty when there is none.
func (p *Page) newestSheet(ctx context.Context, eventID string) (store.Sheet, error) {
	c, err := p.o.Store.NewestSheet(ctx, eventID)
	if errors.Is(err, store.ErrNotFound) {
		return store.Sheet{}, nil
	}
	return c, err
}

// newestRun is the run of an event that began last, if there is one.
func (p *Page) newestRun(ctx context.Context, eventID string) (run.Run, bool, error) {
	r, err := p.o.Store.NewestRun(ctx, eventID)
	if errors.Is(err, store.ErrNotFound) {
		return run.Run{}, false, nil
	}
	return r, err == nil, err
}

func (p *Page) beginRun(ctx context.Context, request, eventID, sheetID string) (run.Run, error) {
	r, err := p.o.Store.CreateRun(ctx, store.Request{ID: request}, eventID, sheetID)
	if err != nil {
		return run.Run{}, err
	}
	p.o.Desk.Plan(r.Ref)
	return r, nil
}

const (
	// pulse is how often a stream says that it lives; the page waits three times as long.
	pulse = 8 * time.Second
	// sendTime is how long a browser may take to accept a message.
	sendTime = 15 * time.Second
)

// errMoved says that a newer run has begun.
var errMoved = errors.New("another run has begun")

// stream tells a browser what is new in a run by server-sent events (WHATWG HTML, section 9.2): "update"
// with an updateView, "pulse" with the time, and in the end "over" with a refusal.
func (p *Page) stream(w http.ResponseWriter, hr *http.Request) {
	defer p.recovered(w, "live")
	r, err := p.letIn(hr)
	if err != nil {
		p.refuse(w, "live", err)
		return
	}
	leave, ok := p.watching.Take(gate.Watching(r.grant.Link, r.from, r.grant.Reads())...)
	if !ok {
		p.refuse(w, "live", errCrowded)
		return
	}
	defer leave()
	after, err := strconv.ParseInt(hr.URL.Query().Get("after"), 10, 64)
	if err != nil || after < 0 {
		p.refuse(w, "live", errForm)
		return
	}
	ref, err := r.run()
	if err != nil {
		p.refuse(w, "live", err)
		return
	}
	e, _, err := p.occasion(r.Context(), r, ref)
	if err != nil {
		p.refuse(w, "live", err)
		return
	}
	s := newSender(w)
	s.away = func(now time.Time) []awayView { return p.leads.away(ref.Event, now) }
	p.watch(s, r, ref, e, after)
}

func (p *Page) watch(s *sender, r *request, ref run.Ref, e event.Event, after int64) {
	last := p.o.Now()
	allowed := func(ctx context.Context) error {
		// A link may be revoked or expire while it is used, and the day may begin anew.
		if err := p.o.Guard.Still(ctx, r.secret); err != nil {
			return err
		}
		newest, _, err := p.newestRun(ctx, ref.Event)
		if err != nil {
			return err
		}
		if newest.Ref != ref {
			return errMoved
		}
		if now := p.o.Now(); now.Sub(last) >= pulse {
			last = now
			sheet, err := p.newestSheet(ctx, ref.Event)
			if err != nil {
				return err
			}
			return s.send("pulse", now, written(pulseView{stale(newest, sheet) && r.allowMarks() == nil}))
		}
		return nil
	}
	err := p.o.Desk.Watch(r.Context(), ref, after, allowed, func(u *run.Update) error {
		last = p.o.Now()
		return s.send("update", last, run.Shared(u, sharing{r.grant.Reads()}, func() []byte {
			return written(updateOf(e, access.Shown(r.grant, *u)))
		}))
	})
	if r.Context().Err() != nil || errors.Is(err, errGone) {
		return
	}
	status, out := refusalOf(err)
	p.logged("live", status, out.Code, err)
	_ = s.send("over", p.o.Now(), written(out)) // whoever watched has gone
}

// sharing is what the text of an update depends on, apart from the update.
type sharing struct{ reads bool }

// written writes a view of ours, which holds nothing that JSON cannot.
func written(view any) []byte {
	body, err := json.Marshal(view)
	if err != nil {
		panic(err)
	}
	return body
}

// errGone says that the browser takes nothing any more.
var errGone = errors.New("the browser has gone")

// sender writes server-sent events.
type sender struct {
	w    http.ResponseWriter
	c    *http.ResponseController
	open bool
	away func(time.Time) []awayView // the phones that are out of touch
}

func newSender(w http.ResponseWriter) *sender {
	return &sender{w: w, c: http.NewResponseController(w), away: func(time.Time) []awayView { return []awayView{} }}
}

// pulseView is what a pulse tells beside the time.
type pulseView struct {
	// Newer says that there is a newer sheet than that of the run.
	Newer bool `json:"newer,omitempty"`
}

// send writes one event: an object, with the server's clock put in front, and the phones that are out of touch: what
// is sent when that has sent its marks must not say so any more. The time that the server gives other
// answers does not count for a stream.
func (s *sender) send(name string, now time.Time, body []byte) error {
	if !s.open {
		s.open = true
		h := s.w.Header()
		h.Set("Content-Type", "text/event-stream")
		h.Set("X-Accel-Buffering", "no") // a proxy in front must pass on what comes
		_ = s.c.SetReadDeadline(time.Time{})
	}
	_ = s.c.SetWriteDeadline(time.Now().Add(sendTime)) // what cannot have one, such as a test's recorder, goes without
	comma := ","
	if len(body) == len("{}") {
		comma = ""
	}
	if _, err := fmt.Fprintf(s.w, "event: %s\ndata: {\"now\":%d,\"away\":%s%s%s\n\n", name, event.Millis(now), written(s.away(now)), comma, body[1:]); err != nil {
		return errGone
	}
	if err := s.c.Flush(); err != nil {
		return errGone
	}
	return nil
}
