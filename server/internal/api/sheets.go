package api

import (
	"context"
	"errors"

	"google.golang.org/protobuf/types/known/emptypb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/wording"
)

func storedSheetToWire(c store.Sheet) *kinorderv1.StoredSheet {
	return &kinorderv1.StoredSheet{
		Name: resourceName(c.Event, "sheets", c.ID), EventVersion: c.Version, CreateTime: instant(c.Created), Sheet: sheetToWire(c.Sheet),
	}
}

// CreateSheet answers Sheets.CreateSheet.
func (k *Keeper) CreateSheet(ctx context.Context, req *kinorderv1.CreateSheetRequest) (*kinorderv1.StoredSheet, error) {
	n, _, err := named(ctx, "parent", req.GetParent(), "", may(store.Lead))
	if err != nil {
		return nil, err
	}
	request, err := requestOf(req)
	if err != nil {
		return nil, err
	}
	if request.ID != "" {
		// Checked first, to avoid repeating the search.
		made, err := k.store.MadeSheet(ctx, request, n.event)
		if err == nil || !errors.Is(err, store.ErrNotFound) {
			return storedSheetToWire(made), err
		}
	}
	e, err := k.store.Event(ctx, n.event)
	if err != nil {
		return nil, err
	}
	o, err := planOptions(req.GetBudget(), nil, req.GetEmphasis())
	if err != nil {
		return nil, err
	}
	sheet, err := k.service.find(ctx, e.Event, o, nil)
	if err != nil {
		return nil, ofKept(err)
	}
	made, err := k.store.CreateSheet(ctx, request, n.event, e.Version, sheet)
	return storedSheetToWire(made), err
}

// ofKept turns an error about a stored event into one about the field that names it: the request does not hold the
// faulty field itself.
func ofKept(err error) error {
	var invalid *event.InvalidError
	if !errors.As(err, &invalid) {
		return err
	}
	return &event.InvalidError{Faults: each(invalid.Faults, func(f event.Advice) event.Advice {
		f.Field, f.Message = "parent", wording.Said(fieldPath(f.Field)+": "+f.Text())
		return f
	})}
}

// GetSheet answers Sheets.GetSheet.
func (k *Keeper) GetSheet(ctx context.Context, req *kinorderv1.GetSheetRequest) (*kinorderv1.StoredSheet, error) {
	n, grant, err := named(ctx, "name", req.GetName(), "sheets", may(store.Reader))
	if err != nil {
		return nil, err
	}
	c, err := k.store.Sheet(ctx, n.event, n.id)
	c.Sheet = access.Shown(grant, c.Sheet)
	return storedSheetToWire(c), err
}

// ListSheets answers Sheets.ListSheets.
func (k *Keeper) ListSheets(ctx context.Context, req *kinorderv1.ListSheetsRequest) (*kinorderv1.ListSheetsResponse, error) {
	parent, p, err := listing(ctx, req, store.Reader)
	if err != nil {
		return nil, err
	}
	list, next, err := k.store.Sheets(ctx, parent, p)
	return &kinorderv1.ListSheetsResponse{NextPageToken: next, Sheets: each(list, func(c store.Sheet) *kinorderv1.StoredSheet {
		w := storedSheetToWire(c)
		w.Sheet = nil
		return w
	})}, err
}

// DeleteSheet answers Sheets.DeleteSheet.
func (k *Keeper) DeleteSheet(ctx context.Context, req *kinorderv1.DeleteSheetRequest) (*emptypb.Empty, error) {
	n, _, err := named(ctx, "name", req.GetName(), "sheets", mayDelete)
	if err != nil {
		return nil, err
	}
	return &emptypb.Empty{}, k.store.DeleteSheet(ctx, n.event, n.id)
}
