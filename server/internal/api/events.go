package api

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"time"

	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/types/known/emptypb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// CreateEvent answers Events.CreateEvent.
func (k *Keeper) CreateEvent(ctx context.Context, req *kinorderv1.CreateEventRequest) (*kinorderv1.StoredEvent, error) {
	grant, _ := open(ctx)
	if !grant.Studio {
		return nil, errForbidden
	}
	request, err := requestOf(req)
	if err != nil {
		return nil, err
	}
	if id := req.GetEventId(); id != "" && !eventIDs.MatchString(id) {
		return nil, invalidRequest("event_id", event.CodeBadID, `must be 1 to 63 letters from a to z, digits and "-", beginning with a letter`)
	}
	e, err := soundEvent(req.GetStoredEvent().GetEvent(), "stored_event.event")
	if err != nil {
		return nil, err
	}
	made, err := k.store.CreateEvent(ctx, request, req.GetEventId(), e)
	return storedEventToWire(made), err
}

func etag(version int64) string { return `"` + strconv.FormatInt(version, 10) + `"` }

// versionOf reads an etag; 0 means any.
func versionOf(tag string) (int64, error) {
	if tag == "" {
		return 0, nil
	}
	n, err := strconv.ParseInt(strings.Trim(tag, `"`), 10, 64)
	if err != nil || n < 1 {
		return 0, fmt.Errorf("%w: an etag of ours looks different", store.ErrConflict)
	}
	return n, nil
}

func storedEventToWire(e store.Event) *kinorderv1.StoredEvent {
	return &kinorderv1.StoredEvent{
		Name: eventName(e.ID), Etag: etag(e.Version), CreateTime: instant(e.Created), UpdateTime: instant(e.Updated),
		Version: e.Version, DisplayName: text(e.Title), Event: eventToWire(e.Event),
	}
}

// GetEvent answers Events.GetEvent.
func (k *Keeper) GetEvent(ctx context.Context, req *kinorderv1.GetEventRequest) (*kinorderv1.StoredEvent, error) {
	n, grant, err := named(ctx, "name", req.GetName(), "", may(store.Reader))
	if err != nil {
		return nil, err
	}
	var e store.Event
	if req.GetVersion() == 0 {
		e, err = k.store.Event(ctx, n.event)
	} else {
		e, err = k.store.EventAt(ctx, n.event, req.GetVersion())
	}
	if err != nil {
		return nil, err
	}
	e.Event = access.Shown(grant, e.Event)
	w := storedEventToWire(e)
	if grant.Reads() {
		unsaid(w.GetEvent())
	}
	return w, nil
}

// unsaid clears the fields that readers may not see; a default value there would already say something.
func unsaid(e *kinorderv1.Event) {
	e.Emphasis, e.Fit, e.Pace, e.Weights, e.Kit = 0, 0, nil, nil, nil
	for _, p := range e.GetPeople() {
		p.AgeBand = kinorderv1.AgeBand_AGE_BAND_UNSPECIFIED
	}
	for _, g := range e.GetGroupings() {
		g.Priority = kinorderv1.Priority_PRIORITY_UNSPECIFIED
	}
	for _, b := range e.GetBlocks() {
		b.Light, b.Closing, b.Space = kinorderv1.Light_LIGHT_UNSPECIFIED, kinorderv1.Closing_CLOSING_UNSPECIFIED, nil
	}
}

// ListEvents answers Events.ListEvents.
func (k *Keeper) ListEvents(ctx context.Context, req *kinorderv1.ListEventsRequest) (*kinorderv1.ListEventsResponse, error) {
	grant, _ := open(ctx)
	p, err := page(req.GetPageSize(), req.GetPageToken())
	if err != nil {
		return nil, err
	}
	out := &kinorderv1.ListEventsResponse{}
	if !grant.Studio {
		if !grant.May(grant.Event, store.Reader) {
			return nil, errForbidden
		}
		e, err := k.store.Event(ctx, grant.Event)
		out.Events = []*kinorderv1.StoredEvent{withoutContent(e)}
		return out, err
	}
	list, next, err := k.store.Events(ctx, p)
	out.Events, out.NextPageToken = each(list, withoutContent), next
	return out, err
}

func withoutContent(e store.Event) *kinorderv1.StoredEvent {
	w := storedEventToWire(e)
	w.Event = nil
	return w
}

// attempts is how often a change without an etag is retried while others are changing the event.
const attempts = 5

// UpdateEvent answers Events.UpdateEvent.
func (k *Keeper) UpdateEvent(ctx context.Context, req *kinorderv1.UpdateEventRequest) (*kinorderv1.StoredEvent, error) {
	n, grant, err := named(ctx, "stored_event.name", req.GetStoredEvent().GetName(), "", may(store.Owner))
	if err != nil {
		return nil, err
	}
	if !grant.Studio {
		closed, err := k.store.Closed(ctx, n.event)
		if err != nil {
			return nil, err
		}
		if closed {
			return nil, errForbidden
		}
	}
	version, err := versionOf(req.GetStoredEvent().GetEtag())
	if err != nil {
		return nil, err
	}
	for range attempts {
		var now store.Event
		if now, err = k.store.Event(ctx, n.event); err != nil {
			return nil, err
		}
		if version != 0 && version != now.Version {
			return nil, fmt.Errorf("update: %w", store.ErrConflict)
		}
		var e event.Event
		if e, err = masked(now.Event, req); err != nil {
			return nil, err
		}
		if now, err = k.store.ReplaceEvent(ctx, n.event, now.Version, e); err == nil {
			return storedEventToWire(now), nil
		}
		if version != 0 {
			break
		}
	}
	return nil, err
}

// masked puts the fields of a mask into an event.
func masked(now event.Event, req *kinorderv1.UpdateEventRequest) (event.Event, error) {
	from := req.GetStoredEvent().GetEvent()
	paths := req.GetUpdateMask().GetPaths()
	if len(paths) == 0 {
		return soundEvent(from, "stored_event.event")
	}
	if from == nil {
		from = &kinorderv1.Event{}
	}
	into := eventToWire(now)
	fields := into.ProtoReflect().Descriptor().Fields()
	var r reader
	for i, path := range paths {
		if path == "*" || path == "event" {
			into = proto.CloneOf(from)
			continue
		}
		rest, within := strings.CutPrefix(path, "event.")
		field := fields.ByTextName(rest)
		if !within || field == nil {
			r.fault(fmt.Sprintf("update_mask.paths[%d]", i), event.CodeUnknownValue, `is no field that can be changed: write "event." and a field of the event, for example event.title`)
			continue
		}
		if from.ProtoReflect().Has(field) {
			into.ProtoReflect().Set(field, from.ProtoReflect().Get(field))
		} else {
			into.ProtoReflect().Clear(field)
		}
	}
	if len(r.faults) > 0 {
		return event.Event{}, &invalidRequestError{r.faults}
	}
	return soundEvent(into, "stored_event.event")
}

// DeleteEvent answers Events.DeleteEvent.
func (k *Keeper) DeleteEvent(ctx context.Context, req *kinorderv1.DeleteEventRequest) (*emptypb.Empty, error) {
	n, _, err := named(ctx, "name", req.GetName(), "", mayDelete)
	if err != nil {
		return nil, err
	}
	version, err := versionOf(req.GetEtag())
	if err != nil {
		return nil, err
	}
	if err := k.store.DeleteEvent(ctx, n.event, version); err != nil {
		return nil, err
	}
	k.desk.Forget(run.Ref{Event: n.event})
	return &emptypb.Empty{}, nil
}

var roles = map[kinorderv1.Role]store.Role{
	kinorderv1.Role_ROLE_OWNER: store.Owner, kinorderv1.Role_ROLE_LEAD: store.Lead, kinorderv1.Role_ROLE_READER: store.Reader,
	kinorderv1.Role_ROLE_FAMILY: store.Family, kinorderv1.Role_ROLE_COUPLE: store.Couple,
}

func linkToWire(l store.Link) *kinorderv1.Link {
	w := &kinorderv1.Link{
		Name: resourceName(l.Event, "links", l.ID), DisplayName: text(l.Title),
		CreateTime: instant(l.Created), ExpireTime: instant(l.Expires), RevokeTime: instant(l.Revoked),
	}
	for wire, role := range roles {
		if role == l.Role {
			w.Role = wire
		}
	}
	return w
}

// CreateLink answers Events.CreateLink.
func (k *Keeper) CreateLink(ctx context.Context, req *kinorderv1.CreateLinkRequest) (*kinorderv1.Link, error) {
	n, _, err := named(ctx, "parent", req.GetParent(), "", may(store.Owner))
	if err != nil {
		return nil, err
	}
	request, err := requestOf(req)
	if err != nil {
		return nil, err
	}
	var r reader
	role, ok := roles[req.GetLink().GetRole()]
	if !ok {
		r.fault("link.role", event.CodeUnknownValue, "is missing: say owner, lead, reader, family or couple")
	}
	if len([]rune(req.GetLink().GetDisplayName())) > 200 {
		r.fault("link.display_name", event.CodeBadText, "has more than 200 characters")
	}
	expires := r.time(req.GetLink().GetExpireTime(), "link.expire_time")
	if !expires.IsZero() && !expires.After(time.Now()) {
		r.fault("link.expire_time", event.CodeBadTime, "is over already")
	}
	if len(r.faults) > 0 {
		return nil, &invalidRequestError{r.faults}
	}
	l, secret, err := k.store.CreateLink(ctx, request, n.event, role, req.GetLink().GetDisplayName(), expires)
	w := linkToWire(l)
	w.Secret, w.PagesPort = secret, int32(k.pages)
	return w, err
}

// ListLinks answers Events.ListLinks.
func (k *Keeper) ListLinks(ctx context.Context, req *kinorderv1.ListLinksRequest) (*kinorderv1.ListLinksResponse, error) {
	parent, p, err := listing(ctx, req, store.Owner)
	if err != nil {
		return nil, err
	}
	list, next, err := k.store.Links(ctx, parent, p)
	return &kinorderv1.ListLinksResponse{Links: each(list, linkToWire), NextPageToken: next}, err
}

// RevokeLink answers Events.RevokeLink.
func (k *Keeper) RevokeLink(ctx context.Context, req *kinorderv1.RevokeLinkRequest) (*kinorderv1.Link, error) {
	n, _, err := named(ctx, "name", req.GetName(), "links", may(store.Owner))
	if err != nil {
		return nil, err
	}
	l, err := k.store.RevokeLink(ctx, n.event, n.id)
	return linkToWire(l), err
}
