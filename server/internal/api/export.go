package api

import (
	"context"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// whole reads all pages of a list.
func whole[T any](list func(store.Page) ([]T, string, error)) ([]T, error) {
	var out []T
	for p := (store.Page{Size: largestPage}); ; {
		part, next, err := list(p)
		if err != nil {
			return nil, err
		}
		out = append(out, part...)
		if p.Token = next; next == "" {
			return out, nil
		}
	}
}

// ExportEvent answers Events.ExportEvent.
func (k *Keeper) ExportEvent(ctx context.Context, req *kinorderv1.ExportEventRequest) (*kinorderv1.ExportEventResponse, error) {
	n, err := name("name", req.GetName(), "")
	if err != nil {
		return nil, err
	}
	if _, err := k.allow(ctx, n.event, store.Owner); err != nil {
		return nil, err
	}
	newest, err := k.store.Event(ctx, n.event)
	if err != nil {
		return nil, err
	}
	out := &kinorderv1.ExportEventResponse{Versions: []*kinorderv1.StoredEvent{storedEventToWire(newest)}}
	sheets, err := whole(func(p store.Page) ([]store.Sheet, string, error) { return k.store.Sheets(ctx, n.event, p) })
	if err != nil {
		return nil, err
	}
	versions := map[int64]bool{newest.Version: true}
	for _, s := range sheets {
		full, err := k.store.Sheet(ctx, n.event, s.ID)
		if err != nil {
			return nil, err
		}
		out.Sheets = append(out.Sheets, storedSheetToWire(full))
		if err := k.exportVersion(ctx, out, n.event, s.Version, versions); err != nil {
			return nil, err
		}
	}
	runs, err := whole(func(p store.Page) ([]run.Run, string, error) { return k.store.Runs(ctx, n.event, p) })
	if err != nil {
		return nil, err
	}
	for _, r := range runs {
		c, err := k.store.Changes(ctx, r.Ref, 0)
		if err != nil {
			return nil, err
		}
		out.Runs = append(out.Runs, runToWire(r))
		out.Marks = append(out.Marks, &kinorderv1.RunMarks{Run: runName(r.Ref), Marks: each(c.Marks, markToWire)})
		if err := k.exportVersion(ctx, out, n.event, r.Version, versions); err != nil {
			return nil, err
		}
	}
	links, err := whole(func(p store.Page) ([]store.Link, string, error) { return k.store.Links(ctx, n.event, p) })
	if err != nil {
		return nil, err
	}
	out.Links = each(links, linkToWire)
	return out, nil
}

func (k *Keeper) exportVersion(ctx context.Context, out *kinorderv1.ExportEventResponse, eventID string, version int64, have map[int64]bool) error {
	if have[version] {
		return nil
	}
	have[version] = true
	e, err := k.store.EventAt(ctx, eventID, version)
	if err == nil {
		out.Versions = append(out.Versions, storedEventToWire(e))
	}
	return err
}
