package phone

import (
	"context"
	"encoding/json"
	"net/http"

	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/wording"
)

// begin begins a new run with the newest sheet, or the one of before the list was changed. What was marked in the run before
// counts in it too, unless that was a rehearsal. Pressed twice it begins one: the page makes up an id.
func (p *Page) begin(_ http.ResponseWriter, r *request) (any, error) {
	if err := r.allowMarks(); err != nil {
		return nil, err
	}
	var body struct {
		Request string `json:"request"`
		// Fresh leaves behind what was marked: a rehearsal is over.
		Fresh bool `json:"fresh"`
		// Old is the run whose list is wanted again.
		Old string `json:"old"`
	}
	if err := json.NewDecoder(r.Body).Decode(&body); err != nil {
		return nil, formError(err)
	}
	if len(body.Request) < 8 || !store.ValidID(body.Request) {
		return nil, errForm
	}
	former := run.Ref{Event: r.grant.Event, Run: body.Old}
	sheet, err := p.sheetOf(r.Context(), former)
	if err != nil {
		return nil, err
	}
	before, known, err := p.newestRun(r.Context(), r.grant.Event)
	if err != nil {
		return nil, err
	}
	begun, err := p.beginRun(r.Context(), "phone-"+body.Request, r.grant.Event, sheet)
	if err != nil {
		return nil, err
	}
	if known && !body.Fresh && before.Ref != begun.Ref {
		if err := p.o.Desk.Carry(r.Context(), before.Ref, begun.Ref, former); err != nil {
			return nil, err
		}
	}
	return struct {
		Run string `json:"run"`
	}{begun.Ref.Run}, nil
}

// sheetOf is the sheet of a former run, or the newest when none is named.
func (p *Page) sheetOf(ctx context.Context, former run.Ref) (string, error) {
	if former.Run != "" {
		if !store.ValidID(former.Run) {
			return "", errForm
		}
		was, err := p.o.Store.Run(ctx, former)
		return was.Sheet, err
	}
	sheet, err := p.newestSheet(ctx, former.Event)
	if err == nil && sheet.ID == "" {
		err = errNoSheet
	}
	return sheet.ID, err
}

// newer says what the newest list changes in the run, before it is used.
func (p *Page) newer(_ http.ResponseWriter, r *request) (any, error) {
	if err := r.allowMarks(); err != nil {
		return nil, err
	}
	before, _, err := p.newestRun(r.Context(), r.grant.Event)
	if err != nil {
		return nil, err
	}
	sheet, err := p.newestSheet(r.Context(), r.grant.Event)
	if err != nil {
		return nil, err
	}
	list, err := p.o.Store.EventAt(r.Context(), r.grant.Event, sheet.Version)
	if err != nil {
		return nil, err
	}
	said, err := p.o.Desk.Swap(r.Context(), before.Ref, list.Event)
	if err != nil {
		return nil, err
	}
	return struct {
		Said []wording.Message `json:"said"`
	}{said}, nil
}
