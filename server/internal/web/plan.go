package web

import (
	"context"
	"errors"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

// plan answers the form of the list and the buttons of the plan.
func (s *Server) plan(r *request) (*response, error) {
	d, notices, err := s.readDraft(r)
	if err != nil {
		return nil, err
	}
	act := r.form.Get("act")
	if emphasis, ok := strings.CutPrefix(act, "use:"); ok && slices.Contains(fields.EmphasisNames, emphasis) {
		d.day.Emphasis = emphasis
	}
	read, err := d.read(r.Context())
	if err != nil {
		return nil, err
	}
	read.notices = append(notices, read.notices...)
	r.log.count("people", len(read.event.People))
	r.log.count("groupings", len(read.event.Groupings))
	if !read.ready() {
		return s.showList(&read, listOptions{stopped: true, plan: r.form, words: r.words})
	}
	w := &workbench{server: s, ctx: r.Context(), reading: &read, move: readMove(r.form), words: r.words, form: r.form}
	if err := w.work(r.form); err != nil {
		return nil, err
	}
	return w.show()
}

// workbench is a plan under the hands of a planner, for one request.
type workbench struct {
	server  *Server
	ctx     context.Context
	reading *reading
	move    move
	words   *wording.Catalogue
	form    fields.Posted
	seat    seat

	hand  handState
	sheet event.CallSheet
	// refused says why a change could not be made; said says what was done.
	refused, said wording.Message
}

// work does what was asked for. It leaves a sheet.
func (w *workbench) work(p fields.Posted) error {
	of := fingerprintOf(w.reading.event)
	var ok bool
	w.hand, w.sheet, ok = readHand(p)
	other := ok && w.hand.Of != of.Of
	if !ok && p.Get("hand") != "" || other && !w.hand.over(w.reading.event, &w.sheet) {
		w.reading.notices = append(w.reading.notices, wording.Say("page.listHasChangedSinceSoThe"))
	}
	if !ok || other && !w.hand.decided() {
		w.hand = handState{madeOf: of, Titles: titlesOf(w.reading.event)}
		return w.begin()
	}
	old := w.hand.madeOf != of
	w.hand.madeOf, w.hand.Titles = of, titlesOf(w.reading.event)
	act := w.move.act
	if old && act != "free" {
		act = "plan" // there is nothing to change by hand before it is planned again
	}
	w.hand.Outdated = act != "compare" && (w.hand.Outdated || act != "go" && act != "language")
	switch act {
	case "up", "down", "to":
		return w.shift()
	case "drop":
		return w.drop()
	case "put":
		return w.put()
	case "lock", "unlock":
		w.hand.Locked = set(w.hand.Locked, w.move.id, w.move.act == "lock")
		return nil
	case "again":
		return w.around()
	case "compare":
		return w.compare()
	case "go", "language":
		return nil
	case "free":
		w.hand.Locked, w.hand.Dropped, w.hand.Freed = nil, nil, true
	}
	return w.plan()
}

// plan searches without regard to the hand, and then around what the hand decided.
func (w *workbench) plan() error {
	w.hand.Compared = nil
	sheet, err := w.search(w.plain(), planning.Options{})
	if err != nil {
		return err
	}
	w.hand.Best = found{planning.OrdersOf(sheet), sheet.Totals}
	if !w.hand.decided() {
		w.sheet = sheet
		return nil
	}
	return w.around()
}

// begin plans what has just been read. A file may hold an order by hand.
func (w *workbench) begin() error {
	e := w.reading.event
	if len(e.Order)+len(e.LeftOut) == 0 {
		return w.plan()
	}
	sheet, err := w.search(e, planning.Options{})
	if err != nil {
		return err
	}
	w.sheet = sheet
	if w.hand.take(e); w.hand.decided() {
		return w.plan()
	}
	w.hand.Best = found{planning.OrdersOf(sheet), sheet.Totals}
	return nil
}

// plain is the event without an order by hand.
func (w *workbench) plain() event.Event {
	e := w.reading.event
	e.Order, e.LeftOut = nil, nil
	return e
}

// byHand is the event with what the hand decided.
func (w *workbench) byHand() event.Event { return w.hand.in(w.reading.event, w.sheet) }

// around searches with what the hand decided kept.
func (w *workbench) around() error {
	sheet, err := w.search(w.byHand(), planning.Options{})
	if invalid := (*event.InvalidError)(nil); errors.As(err, &invalid) {
		// The sheet that came back is not of this event any more, for example after a block went.
		w.hand.Locked, w.hand.Dropped = nil, nil
		return w.plan()
	}
	if err != nil {
		return err
	}
	w.hand.judge(&sheet)
	w.sheet = sheet
	w.said = wording.Say("page.plannedAgainAroundWhatYouLocked")
	return nil
}

// search plans, in its turn.
func (w *workbench) search(e event.Event, o planning.Options) (event.CallSheet, error) {
	o.Workers = w.server.options.Workers
	return w.inTurn(func(ctx context.Context) (event.CallSheet, error) {
		return w.server.options.Plan(ctx, e, o)
	})
}

// fixed writes the sheet of given orders, in its turn: that is no search, but a long list takes a core
// for a second.
func (w *workbench) fixed(orders []planning.Order) (event.CallSheet, error) {
	return w.inTurn(func(context.Context) (event.CallSheet, error) {
		return planning.Fixed(w.reading.event, planning.Options{}, orders)
	})
}

// inTurn waits at the gate for what keeps a core busy.
func (w *workbench) inTurn(do func(context.Context) (event.CallSheet, error)) (event.CallSheet, error) {
	ctx, leave, err := w.server.options.Gate.Enter(w.ctx)
	if err != nil {
		return event.CallSheet{}, err
	}
	defer leave()
	sheet, err := do(ctx)
	if errors.Is(err, context.Canceled) {
		err = context.Cause(ctx)
	}
	return sheet, err
}

// shift moves a photograph and locks it in its new place.
func (w *workbench) shift() error {
	orders, ok := w.move.moved(planning.OrdersOf(w.sheet))
	if !ok {
		w.refused = wording.Say("page.nothingWasMoved")
		return nil
	}
	done, err := w.take(w.fixed(orders))
	if !done {
		return err
	}
	w.hand.Locked = set(w.hand.Locked, w.move.id, true)
	w.hand.judge(&w.sheet)
	w.said = wording.Say("page.wasMovedAndIsLockedThere", wording.Curly(w.titleOf(w.move.id)))
	return nil
}

func (w *workbench) drop() error {
	orders := planning.OrdersOf(w.sheet)
	if _, _, ok := position(orders, w.move.id); !ok {
		return nil
	}
	done, err := w.take(w.fixed(without(orders, w.move.id)))
	if !done {
		return err
	}
	w.hand.Dropped = set(w.hand.Dropped, w.move.id, true)
	w.hand.Locked = set(w.hand.Locked, w.move.id, false)
	w.hand.judge(&w.sheet)
	w.said = wording.Say("page.wasLeftOut", wording.Curly(w.titleOf(w.move.id)))
	return nil
}

// put takes a photograph back in, where it costs least.
func (w *workbench) put() error {
	orders := planning.OrdersOf(w.sheet)
	if _, _, taken := position(orders, w.move.id); taken {
		return nil
	}
	done, err := w.take(w.inTurn(func(ctx context.Context) (event.CallSheet, error) {
		return planning.PutBack(ctx, w.reading.event, planning.Options{}, orders, w.move.id)
	}))
	if !done {
		return err
	}
	w.hand.Dropped = set(w.hand.Dropped, w.move.id, false)
	w.hand.judge(&w.sheet)
	w.said = wording.Say("page.wasPutBackInWhereIt", wording.Curly(w.titleOf(w.move.id)))
	return nil
}

// take takes a sheet made by hand, or says why there is none.
func (w *workbench) take(sheet event.CallSheet, err error) (done bool, _ error) {
	var infeasible *event.InfeasibleError
	var invalid *event.InvalidError
	switch {
	case errors.As(err, &infeasible):
		w.refused = wording.Sentences(wording.Say("page.thatCannotBeDone"), infeasible.Message)
		return false, nil
	case errors.As(err, &invalid):
		w.hand = handState{madeOf: w.hand.madeOf, Titles: w.hand.Titles}
		w.reading.notices = append(w.reading.notices, wording.Say("page.planWasNotOneOfThis"))
		return false, w.plan()
	case err != nil:
		return false, err
	}
	keepReasons(&w.sheet, &sheet)
	w.sheet = sheet
	return true, nil
}

func (w *workbench) titleOf(id string) string {
	return firstOf(titlesOf(w.reading.event)[id], id)
}
