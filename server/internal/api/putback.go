package api

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"google.golang.org/protobuf/encoding/protojson"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// ErrNoExport says that something is not what ExportEvent gave, as JSON.
var ErrNoExport = errors.New("is not what kinorder events export wrote")

// PutBack keeps an event as an export has it, as JSON, and returns its name. Its errors quote nothing of it.
func PutBack(ctx context.Context, into *store.Store, content []byte) (name string, err error) {
	var all kinorderv1.ExportEventResponse
	if err := protojson.Unmarshal(content, &all); err != nil {
		return "", ErrNoExport // the error would quote it
	}
	whole, err := readExport(&all)
	if err != nil {
		return "", err
	}
	return eventName(whole.ID), into.PutBack(ctx, whole)
}

// readExport turns an export into what a store keeps.
func readExport(all *kinorderv1.ExportEventResponse) (store.Whole, error) {
	if len(all.GetVersions()) == 0 {
		return store.Whole{}, ErrNoExport
	}
	var r reader
	x := exported{&r, strings.TrimPrefix(all.GetVersions()[0].GetName(), "events/")}
	w := store.Whole{ID: x.event, Closes: all.GetCloses(), Marks: map[string][]run.Mark{}}
	drafts := map[int64]string{}
	for _, d := range all.GetDrafts() {
		drafts[d.GetVersion()] = d.GetDraft()
	}
	for _, v := range all.GetVersions() {
		w.Versions = append(w.Versions, store.Version{Step: store.Step{Draft: drafts[v.GetVersion()]}, Event: store.Event{
			ID: x.id(v.GetName(), ""), Version: v.GetVersion(), Created: r.time(v.GetCreateTime(), "versions"), Updated: r.time(v.GetUpdateTime(), "versions"), Event: r.event(v.GetEvent()),
		}})
	}
	for _, c := range all.GetSheets() {
		w.Sheets = append(w.Sheets, store.Sheet{ID: x.id(c.GetName(), "sheets"), Version: c.GetEventVersion(), Created: r.time(c.GetCreateTime(), "sheets"), Sheet: r.sheet(c.GetSheet())})
	}
	for _, b := range all.GetRuns() {
		w.Runs = append(w.Runs, run.Run{
			Ref: run.Ref{Event: x.event, Run: x.id(b.GetName(), "runs")}, Sheet: x.id(b.GetSheet(), "sheets"),
			Version: b.GetEventVersion(), Created: r.time(b.GetCreateTime(), "runs"), Sequence: b.GetSequence(),
		})
	}
	for _, of := range all.GetMarks() {
		id := x.id(of.GetRun(), "runs")
		for i, m := range of.GetMarks() {
			mark := r.mark(i, m)
			mark.Received, mark.DeviceAt, mark.By = r.time(m.GetReceiveTime(), "marks"), r.time(m.GetDeviceTime(), "marks"), m.GetAuthor()
			w.Marks[id] = append(w.Marks[id], mark)
		}
	}
	x.shared(all, &w)
	if len(r.faults) > 0 {
		return store.Whole{}, fmt.Errorf("%w: %d of its values cannot be read", ErrNoExport, len(r.faults))
	}
	return w, nil
}

// exported is an export that is read.
type exported struct {
	*reader
	event string
}

// id is the last part of a name of the event, or of something in one of its collections.
func (x exported) id(name, collection string) string {
	prefix := "events/" + x.event
	if collection != "" {
		prefix += "/" + collection + "/"
	}
	id, ok := strings.CutPrefix(name, prefix)
	if collection == "" {
		id = x.event
	}
	if !ok || !store.ValidID(id) {
		x.fault(collection, "", "")
	}
	return id
}

// shared reads who had links, what was wished for by them, and what was set aside.
func (x exported) shared(all *kinorderv1.ExportEventResponse, w *store.Whole) {
	for _, l := range all.GetLinks() {
		role, ok := roles[l.GetRole()]
		if !ok {
			x.unknown("links", int64(l.GetRole()))
		}
		w.Links = append(w.Links, store.Link{
			ID: x.id(l.GetName(), "links"), Role: role, Title: l.GetDisplayName(),
			Created: x.time(l.GetCreateTime(), "links"), Expires: x.time(l.GetExpireTime(), "links"), Revoked: x.time(l.GetRevokeTime(), "links"),
		})
	}
	for _, of := range all.GetWishes() {
		for _, wish := range of.GetWishes() {
			w.Wishes = append(w.Wishes, store.Wish{
				Link: x.id(of.GetLink(), "links"), Text: wish.GetText(), State: store.WishState(wish.GetState()), Created: x.time(wish.GetCreateTime(), "wishes"),
			})
		}
	}
	for _, a := range all.GetAsides() {
		w.Asides = append(w.Asides, store.Aside{
			Created: x.time(a.GetCreateTime(), "asides"), Settled: a.GetSettled(), Event: x.reader.event(a.GetEvent()), Step: store.Step{Draft: a.GetDraft()},
		})
	}
}
