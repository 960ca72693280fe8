package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/wording"
)

// keptPolicy lets the script of a page keep what is typed.
const keptPolicy = pagePolicy + "; connect-src 'self'"

// keptPages are the pages of what is kept, for whoever is signed in.
func (s *Server) keptPages(mux *http.ServeMux) {
	mux.Handle("GET /enter", s.page("enter", s.enter))
	mux.Handle("POST /enter", s.form("enter", s.entered))
	mux.Handle("POST /phones", s.form("phones", s.phonesBack, s.signed))
	mux.Handle("POST /leave", s.form("leave", s.leave))
	mux.Handle("GET "+wishesRoot, s.page("wishes", s.openWishes))
	mux.Handle("POST "+wishesRoot, s.form("wishes", s.sendWishes, s.wishing))
	mux.Handle("GET "+coupleRoot, s.page("couple", s.openCouple))
	mux.Handle("POST "+coupleRoot, s.form("couple", s.changeCouple, s.coupled))
	mux.Handle("GET "+newRoot, s.shown("new", s.openList))
	mux.Handle("GET "+newRoot+"/example", s.shown("example", s.example))
	mux.Handle("POST "+newRoot+"/list", s.changed("list", s.changeList))
	mux.Handle("POST "+newRoot+"/keep", s.changed("keep", s.keepTyped))
	root := eventRoot + "{id}"
	mux.HandleFunc("GET "+root+"/live", s.live)
	for path, a := range map[string]answer{"": s.openList, "/plan": s.openPlan, "/history": s.history, "/delete": s.askDelete, "/send": s.openSend, "/messages": s.openMessages, "/clash": s.openClash, "/sheet": s.openSheet,
		"/wishes": s.families} {
		mux.Handle("GET "+root+path, s.shown("event"+path, a))
	}
	for path, a := range map[string]func(*request, keptDraft) (*response, error){
		"/list": s.changeList, "/keep": s.keepTyped, "/plan": s.changePlan, "/undo": s.undo, "/redo": s.undo, "/back": s.goBack,
		"/duplicate": s.duplicate, "/send": s.send, "/delete": s.remove, "/clash": s.choose, "/wishes": s.answerFamilies,
		"/sheet": s.leadToSheet,
		"/save":  func(r *request, _ keptDraft) (*response, error) { return s.save(r) },
	} {
		mux.Handle("POST "+root+path, s.changed("event"+path, a))
		if !slices.Contains([]string{"/plan", "/delete", "/send", "/clash", "/sheet", "/wishes"}, path) { // by the address bar: there is no form to answer
			mux.Handle("GET "+root+path, s.shown("event"+path, func(r *request) (*response, error) {
				return s.lead(r, r.seat.Root, nil), nil
			}))
		}
	}
}

// openList shows the list of an event and its day, or where to put a list in.
func (s *Server) openList(r *request) (*response, error) {
	d := draftIn(r.work)
	t := s.told.Of(r.work.ID, r.URL.Query().Get("told"))
	if err := s.waiting(r); err != nil {
		return nil, err
	}
	if d.empty() {
		return r.drawStart("page.groupPhotographsInTheBestOrder", "")
	}
	read, err := s.readKept(r, d)
	if err != nil {
		return nil, err
	}
	read.notices, read.ticked = append(t.notices, read.notices...), t.ticked
	if word, said := stepOf(r.work.What); word == coupleStep {
		read.notices = append(read.notices, wording.Say("page.coupleChanged", firstOf(r.work.By, r.words.Say("page.forCouple")), said))
	}
	if _, _, ok := d.planOf(read.event); !ok && d.Hand != nil {
		read.notices = append(read.notices, wording.Say("page.planIsOld"))
	}
	act, at, _ := strings.Cut(t.act, ":")
	index, _ := strconv.Atoi(at)
	if who := r.URL.Query().Get("person"); who != "" {
		act, at = "person", who
	}
	if which := r.URL.Query().Get("photo"); which != "" {
		act, at = "photo", which
	}
	return s.showList(&read, listOptions{act: act, at: at, index: index, stopped: t.stopped, words: r.words, seat: r.seat, closes: firstOf(r.work.Closes, s.today(r.work.Event.TimeZone))})
}

// readKept reads what is kept.
func (s *Server) readKept(r *request, d keptDraft) (reading, error) {
	return draft{text: d.Text, seen: d.Seen, hasDay: d.HasDay, day: d.Day, house: d.House, Over: d.Over, room: s.options.Memory.Files}.read(r.Context())
}

// readChanged reads the form of a page, with what is kept under it.
func (s *Server) readChanged(r *request, was keptDraft) (reading, keptDraft, error) {
	read, err := s.readForm(r, was.House)
	if err != nil {
		return reading{}, was, err
	}
	was.Text, was.Seen, was.HasDay, was.Day, was.Over = read.text, read.seen, read.hasDay, read.day, read.Over
	return read, was, nil
}

// changeList keeps the list and the day.
func (s *Server) changeList(r *request, was keptDraft) (*response, error) {
	read, d, err := s.readChanged(r, was)
	if err != nil {
		return nil, err
	}
	if d.empty() && r.work.ID == "" {
		return s.lead(r, newRoot, nil), nil
	}
	if err := s.keepChange(r, "list", was, d, read.event); err != nil {
		return s.orClash(r, d, read.event, err)
	}
	if act := r.form.Get("act"); act == "close" || act == "open" {
		if err := s.closeList(r, act); err != nil {
			return nil, err
		}
	}
	to := r.seat.Root
	if what, which, _ := strings.Cut(r.form.Get("act"), ":"); what == "person" || what == "photo" {
		to += "?" + url.Values{what: {which}}.Encode() // a reload shows the fields again
	}
	return s.lead(r, to, &told{notices: read.notices, act: r.form.Get("act"), ticked: read.ticked}), nil
}

// keepTyped keeps what is being typed, for the script of the page. A list that cannot be read is kept as it is.
func (s *Server) keepTyped(r *request, was keptDraft) (*response, error) {
	r.form.Values.Del("act")
	read, d, err := s.readChanged(r, was)
	e, bar := read.event, ""
	if err != nil {
		d.Text, e, err = r.form.Get("text"), r.work.Event, nil
	} else {
		bar = people.Bar(r.words, read.event, read.ready(), read.errors())
	}
	if !d.empty() || r.work.ID != "" {
		err = s.keepChange(r, typing, was, d, e)
	}
	said := map[string]any{"bar": bar, "root": r.seat.Root, "version": r.seat.Version, "kept": r.seat.Kept, "saved": r.seat.Saved}
	status := http.StatusOK
	if beside(err) {
		var key string
		key, err = s.setAside(r, d, e)
		status, said = http.StatusConflict, map[string]any{"aside": key, "both": s.lead(r, r.both(key), nil).to}
	}
	if err != nil {
		return nil, err
	}
	content, err := json.Marshal(said)
	return &response{status: status, kind: "application/json", content: content}, err
}

// openPlan shows the plan of an event, or its list where there is none of what is written.
func (s *Server) openPlan(r *request) (*response, error) {
	d := draftIn(r.work)
	read, err := s.readKept(r, d)
	if err != nil {
		return nil, err
	}
	hand, plan, ok := d.planOf(read.event)
	if !ok || !read.ready() {
		return s.lead(r, r.seat.Root, nil), nil
	}
	if err := s.waiting(r); err != nil {
		return nil, err
	}
	t := s.told.Of(r.work.ID, r.URL.Query().Get("told"))
	read.notices = append(t.notices, read.notices...)
	w := &workbench{
		server: s, ctx: r.Context(), reading: &read, words: r.words, form: fields.Posted{Values: r.URL.Query()}, seat: r.seat,
		hand: hand, sheet: plan, said: t.said, refused: t.refused,
	}
	w.move.act, w.move.id, _ = strings.Cut(t.act, ":")
	return w.show()
}

// changePlan plans, or changes a plan by hand.
func (s *Server) changePlan(r *request, was keptDraft) (*response, error) {
	read, d, err := s.readChanged(r, was)
	if err != nil {
		return nil, err
	}
	if !read.ready() {
		if err := s.keep(r, "list", d, read.event); err != nil {
			return s.orClash(r, d, read.event, err)
		}
		return s.lead(r, r.seat.Root, &told{notices: read.notices, stopped: true, act: "plan"}), nil
	}
	w := &workbench{server: s, ctx: r.Context(), reading: &read, move: readMove(r.form), words: r.words, form: r.form}
	if err := w.work(r.form); err != nil {
		return nil, err
	}
	// How long a search took is no part of a plan: what is sent twice is kept once.
	w.sheet.Totals.SolveTime, w.hand.Best.Totals.SolveTime = 0, 0
	d.Hand, d.Sheet = &w.hand, &w.sheet
	if err := s.keep(r, stepWord(w.move.act)+stepMark+w.told(), d, read.event); err != nil {
		return s.orClash(r, d, read.event, err)
	}
	act := w.move.act
	if w.move.id != "" {
		act += ":" + w.move.id
	}
	return s.lead(r, r.seat.Root+"/plan", &told{notices: read.notices, said: w.said, refused: w.refused, act: act}), nil
}

// told says what a press on the plan did, for its row in the history.
func (w *workbench) told() string {
	switch w.move.act {
	case "lock":
		return w.words.Facts(w.titleOf(w.move.id), w.words.Say("page.locked"))
	case "unlock":
		return w.words.Facts(w.titleOf(w.move.id), w.words.Say("page.unlock2"))
	}
	return w.words.Render(w.said)
}

// stepWord is the word under which a step of the plan is kept.
func stepWord(act string) string {
	switch act {
	case "up", "down", "to", "drop", "put", "lock", "unlock":
		return "hand"
	}
	return "plan"
}

// undo goes a step back, or forth again. What was typed meanwhile is a step of its own.
func (s *Server) undo(r *request, was keptDraft) (*response, error) {
	page := ""
	if !r.sent.Has("day") { // from the page of the plan
		page = "/plan"
		if r.form.Line("version") != strconv.FormatInt(r.work.Version, 10) {
			return s.lead(r, r.seat.Root+page, &told{refused: wording.Say("page.changedElsewhere")}), nil
		}
	} else {
		read, d, err := s.readChanged(r, was)
		if err != nil {
			return nil, err
		}
		if err := s.keep(r, "list", d, read.event); err != nil {
			return s.orClash(r, d, read.event, err)
		}
	}
	now, to, word := r.work, r.work.Back, "undo"
	if strings.HasSuffix(r.URL.Path, "/redo") {
		to, word = now.Forth, "redo"
	}
	then, err := s.options.Desk.Work(r.Context(), r.visitor, now.ID, to)
	if to == 0 || errors.Is(err, kept.ErrGone) {
		return s.lead(r, r.seat.Root+page, &told{notices: []wording.Message{wording.Say("page.nothingToUndo")}}), nil
	}
	if err != nil {
		return nil, err
	}
	next := again(now, then, word)
	said := changesOf(r.words, draftIn(now), draftIn(then), then.Event.Sides)
	if step, of := stepOf(now.What); word == "undo" && step != "undo" && step != "redo" {
		said = firstOf(said, of) // of a plan nothing else tells
	}
	next.What += stepMark + said
	if next.Back, next.Forth = then.Back, now.Version; word == "redo" {
		next.Forth = then.Forth
	}
	if _, err := s.commit(r, next); err != nil {
		return nil, err
	}
	did := wording.Say("sheet.labelled", wording.Say(stepWords[word]), firstOf(said, r.words.Say("page.thePlan")))
	if page == "" {
		return s.lead(r, r.seat.Root, &told{act: word, notices: []wording.Message{did}}), nil
	}
	return s.lead(r, r.seat.Root+page, &told{act: word, said: did}), nil
}

// again is a version with the content of another one.
func again(now, then kept.Work, what string) kept.Work {
	return kept.Work{ID: now.ID, Version: now.Version, What: what, Label: then.Label, Back: now.Version, Planned: then.Planned, Event: then.Event, Draft: then.Draft}
}

// goBack goes to a version of the history. That is a step too.
func (s *Server) goBack(r *request, _ keptDraft) (*response, error) {
	if key := r.form.Line("aside"); key != "" {
		a, err := s.options.Desk.Aside(r.Context(), r.visitor, r.work.ID, key)
		if err != nil {
			return nil, err
		}
		return s.takeBack(r, a, "")
	}
	to, err := strconv.ParseInt(r.form.Line("to"), 10, 64)
	if err != nil || to < 1 {
		return nil, fields.ErrForm
	}
	then, err := s.options.Desk.Work(r.Context(), r.visitor, r.work.ID, to)
	if err != nil {
		return nil, err
	}
	if _, err := s.commit(r, again(r.work, then, "back")); err != nil {
		return nil, err
	}
	return s.lead(r, r.seat.Root, &told{notices: []wording.Message{wording.Say("page.wentBackTo", stamp(r.words, then.At))}}), nil
}

// duplicate begins another event with the day, the place and the pace of this one, and nobody of it.
func (s *Server) duplicate(r *request, _ keptDraft) (*response, error) {
	d := draftIn(r.work)
	read, err := s.readKept(r, d)
	if err != nil {
		return nil, err
	}
	e, day := read.event, read.day
	day.Title, day.Date, day.Rules = "", "", nil
	next := keptDraft{HasDay: true, Day: day, Seen: fields.DayOf(event.Event{}, fields.Directory{}).Seen(), House: &house{e.Pace, e.Weights, e.Kit, e.Confidence, e.Fit}}
	raw, err := next.encoded()
	if err != nil {
		return nil, err
	}
	made := event.Event{TimeZone: e.TimeZone, Blocks: e.Blocks, Walks: e.Walks, Latitude: e.Latitude, Longitude: e.Longitude, Emphasis: e.Emphasis}
	next.House.furnish(&made)
	name := firstOf(e.Title, r.work.Label, r.words.Say("page.untitled"))
	if r.work, err = s.options.Desk.Begin(r.Context(), r.visitor, kept.Work{What: "duplicate", Label: r.words.Say("page.like", name), Event: made, Draft: raw}); err != nil {
		return nil, err
	}
	return s.lead(r, eventRoot+r.work.ID, nil), nil
}
