package api

import (
	"errors"

	"google.golang.org/grpc"
	"google.golang.org/protobuf/proto"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// exportPart is how many bytes of marks or links one part of an export holds, as its contract says.
const exportPart = 256 << 10

// ExportEvent answers Events.ExportEvent. It holds one part at a time.
func (k *Keeper) ExportEvent(req *kinorderv1.ExportEventRequest, stream grpc.ServerStreamingServer[kinorderv1.ExportEventResponse]) error {
	n, _, err := named(stream.Context(), "name", req.GetName(), "", may(store.Owner))
	if err != nil {
		return err
	}
	x := &exporter{keeper: k, stream: stream, event: n.event, told: map[int64]bool{}}
	if err := x.version(0); err != nil {
		return err
	}
	if err := x.asides(); err != nil {
		return err
	}
	if err := whole(func(p store.Page) ([]store.Sheet, string, error) { return k.store.Sheets(stream.Context(), n.event, p) }, x.sheet); err != nil {
		return err
	}
	if err := whole(func(p store.Page) ([]run.Run, string, error) { return k.store.Runs(stream.Context(), n.event, p) }, x.run); err != nil {
		return err
	}
	return whole(func(p store.Page) ([]store.Link, string, error) { return k.store.Links(stream.Context(), n.event, p) }, func(l store.Link) error {
		part := &kinorderv1.ExportEventResponse{Links: []*kinorderv1.Link{linkToWire(l)}}
		list, err := k.store.Wishes(stream.Context(), n.event, l.ID)
		if err != nil {
			return err
		}
		if len(list) > 0 {
			part.Wishes = []*kinorderv1.LinkWishes{{Link: resourceName(l.Event, "links", l.ID), Wishes: each(list, wishToWire)}}
		}
		return stream.Send(part)
	})
}

// whole calls each on the entries of all pages of a list.
func whole[T any](list func(store.Page) ([]T, string, error), each func(T) error) error {
	for p := (store.Page{Size: largestPage}); ; {
		part, next, err := list(p)
		if err != nil {
			return err
		}
		for _, x := range part {
			if err := each(x); err != nil {
				return err
			}
		}
		if p.Token = next; next == "" {
			return nil
		}
	}
}

// exporter is an export under way.
type exporter struct {
	keeper *Keeper
	stream grpc.ServerStreamingServer[kinorderv1.ExportEventResponse]
	event  string
	told   map[int64]bool // versions of the event
}

// version sends a version that something is about, once, then what was written for it. Version 0 is the newest, which
// comes first and says when the list closes.
func (x *exporter) version(version int64) error {
	if x.told[version] {
		return nil
	}
	v, err := x.keeper.store.Version(x.stream.Context(), x.event, version)
	if err != nil {
		return err
	}
	x.told[v.Event.Version] = true
	part := &kinorderv1.ExportEventResponse{Versions: []*kinorderv1.StoredEvent{storedEventToWire(v.Event)}}
	if version == 0 {
		part.Closes = text(v.Closes)
	}
	if err := x.stream.Send(part); err != nil || v.Draft == "" {
		return err
	}
	return x.stream.Send(&kinorderv1.ExportEventResponse{Drafts: []*kinorderv1.Draft{{Version: v.Event.Version, Draft: text(v.Draft)}}})
}

// asides sends what was set aside, one after the other.
func (x *exporter) asides() error {
	list, err := x.keeper.store.Asides(x.stream.Context(), x.event)
	if err != nil {
		return err
	}
	for _, listed := range list {
		a, err := x.keeper.store.Aside(x.stream.Context(), x.event, listed.Key)
		if errors.Is(err, store.ErrNotFound) { // a newer one has its place
			continue
		}
		if err != nil {
			return err
		}
		if err := x.stream.Send(&kinorderv1.ExportEventResponse{Asides: []*kinorderv1.Aside{
			{CreateTime: instant(a.Created), Settled: a.Settled, Event: eventToWire(a.Event), Draft: text(a.Draft)},
		}}); err != nil {
			return err
		}
	}
	return nil
}

func (x *exporter) sheet(listed store.Sheet) error {
	if err := x.version(listed.Version); err != nil {
		return err
	}
	full, err := x.keeper.store.Sheet(x.stream.Context(), x.event, listed.ID)
	if err != nil {
		return err
	}
	return x.stream.Send(&kinorderv1.ExportEventResponse{Sheets: []*kinorderv1.StoredSheet{storedSheetToWire(full)}})
}

// run sends a run, then its marks.
func (x *exporter) run(r run.Run) error {
	if err := x.version(r.Version); err != nil {
		return err
	}
	c, err := x.keeper.store.Changes(x.stream.Context(), r.Ref, 0)
	if err != nil {
		return err
	}
	part := &kinorderv1.ExportEventResponse{Runs: []*kinorderv1.Run{runToWire(r)}}
	marks := &kinorderv1.RunMarks{Run: runName(r.Ref)}
	part.Marks = []*kinorderv1.RunMarks{marks}
	size := 0
	for _, m := range c.Marks {
		w := markToWire(m)
		if size += proto.Size(w); size > exportPart {
			if err := x.stream.Send(part); err != nil {
				return err
			}
			size = proto.Size(w)
			marks = &kinorderv1.RunMarks{Run: runName(r.Ref)}
			part = &kinorderv1.ExportEventResponse{Marks: []*kinorderv1.RunMarks{marks}}
		}
		marks.Marks = append(marks.Marks, w)
	}
	return x.stream.Send(part)
}

func wishToWire(w store.Wish) *kinorderv1.Wish {
	return &kinorderv1.Wish{Text: text(w.Text), State: kinorderv1.WishState(w.State), CreateTime: instant(w.Created)}
}
