package client

import (
	"context"
	"crypto/rand"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"iter"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/metadata"
	"google.golang.org/protobuf/types/known/timestamppb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// WithSecret returns a client that shows a secret with every call: that of a link to an event, or the
// studio key. It shares the connection, which stays that of c to close.
func (c *Client) WithSecret(secret string) *Client {
	return New(bearer{c.conn, secret})
}

// bearer is a connection that adds a secret to every call.
type bearer struct {
	grpc.ClientConnInterface
	secret string
}

func (b bearer) Invoke(ctx context.Context, method string, args, reply any, options ...grpc.CallOption) error {
	return b.ClientConnInterface.Invoke(b.shown(ctx), method, args, reply, options...)
}

func (b bearer) NewStream(ctx context.Context, d *grpc.StreamDesc, method string, options ...grpc.CallOption) (grpc.ClientStream, error) {
	return b.ClientConnInterface.NewStream(b.shown(ctx), d, method, options...)
}

func (b bearer) shown(ctx context.Context) context.Context {
	return metadata.AppendToOutgoingContext(ctx, "authorization", "Bearer "+b.secret)
}

// NewID makes a UUID of version 7 (RFC 9562) for a mark or a request. Keep it when sending again.
func NewID() string {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails, as its documentation says
	var ms [8]byte
	binary.BigEndian.PutUint64(ms[:], uint64(time.Now().UnixMilli()))
	copy(b[:6], ms[2:])
	b[6] = 0x70 | b[6]&0x0f
	b[8] = 0x80 | b[8]&0x3f
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:])
}

// CreateOption says how to create something.
type CreateOption func(*creation)

type creation struct{ request string }

// WithRequestID names a request to create, by an id such as NewID makes: the server carries out a request of one
// id once, and answers one that comes again with what it made. Without it a call has an id of its own, which it
// keeps while it tries again by itself.
func WithRequestID(id string) CreateOption { return func(c *creation) { c.request = id } }

func created(options []CreateOption) creation {
	c := creation{request: NewID()}
	for _, o := range options {
		o(&c)
	}
	return c
}

// CreateEvent keeps an event under an id; empty has one made up. It needs the studio key.
func (c *Client) CreateEvent(ctx context.Context, id string, e *kinorderv1.Event, options ...CreateOption) (*kinorderv1.StoredEvent, error) {
	o := created(options)
	return again(ctx, func() (*kinorderv1.StoredEvent, error) {
		return c.events.CreateEvent(ctx, &kinorderv1.CreateEventRequest{
			EventId: id, StoredEvent: &kinorderv1.StoredEvent{Event: e}, RequestId: o.request,
		}, grpc.MaxCallRecvMsgSize(maxAnswer))
	})
}

// Event returns the newest version of an event.
func (c *Client) Event(ctx context.Context, name string) (*kinorderv1.StoredEvent, error) {
	r, err := c.events.GetEvent(ctx, &kinorderv1.GetEventRequest{Name: name}, grpc.MaxCallRecvMsgSize(maxAnswer))
	return r, Explain(err)
}

// EventAt returns a version of an event.
func (c *Client) EventAt(ctx context.Context, name string, version int64) (*kinorderv1.StoredEvent, error) {
	r, err := c.events.GetEvent(ctx, &kinorderv1.GetEventRequest{Name: name, Version: version}, grpc.MaxCallRecvMsgSize(maxAnswer))
	return r, Explain(err)
}

// listed yields the entries of all pages of a list. An error is the last thing it yields.
func listed[T any](page func(token string) ([]T, string, error)) iter.Seq2[T, error] {
	return func(yield func(T, error) bool) {
		token := ""
		for {
			list, next, err := page(token)
			if err != nil {
				var none T
				yield(none, Explain(err))
				return
			}
			for _, x := range list {
				if !yield(x, nil) {
					return
				}
			}
			if token = next; token == "" {
				return
			}
		}
	}
}

// Events yields the events that the secret opens, without their content, oldest first.
func (c *Client) Events(ctx context.Context) iter.Seq2[*kinorderv1.StoredEvent, error] {
	return listed(func(token string) ([]*kinorderv1.StoredEvent, string, error) {
		r, err := c.events.ListEvents(ctx, &kinorderv1.ListEventsRequest{PageToken: token})
		return r.GetEvents(), r.GetNextPageToken(), err
	})
}

// ReplaceEvent makes a new version of an event. With an etag it does so only if nobody else has.
func (c *Client) ReplaceEvent(ctx context.Context, name, etag string, e *kinorderv1.Event) (*kinorderv1.StoredEvent, error) {
	r, err := c.events.UpdateEvent(ctx, &kinorderv1.UpdateEventRequest{
		StoredEvent: &kinorderv1.StoredEvent{Name: name, Etag: etag, Event: e},
	}, grpc.MaxCallRecvMsgSize(maxAnswer))
	return r, Explain(err)
}

// DeleteEvent deletes an event with everything that belongs to it.
func (c *Client) DeleteEvent(ctx context.Context, name string) error {
	_, err := c.events.DeleteEvent(ctx, &kinorderv1.DeleteEventRequest{Name: name})
	return Explain(err)
}

// ExportEvent returns everything that is kept of an event.
func (c *Client) ExportEvent(ctx context.Context, name string) (*kinorderv1.ExportEventResponse, error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	stream, err := c.events.ExportEvent(ctx, &kinorderv1.ExportEventRequest{Name: name}, grpc.MaxCallRecvMsgSize(maxAnswer))
	if err != nil {
		return nil, Explain(err)
	}
	all := &kinorderv1.ExportEventResponse{}
	for {
		part, err := stream.Recv()
		if errors.Is(err, io.EOF) {
			return all, nil
		}
		if err != nil {
			return nil, Explain(err)
		}
		if n := len(all.GetMarks()); n > 0 && len(part.GetMarks()) > 0 && part.Marks[0].GetRun() == all.Marks[n-1].GetRun() {
			all.Marks[n-1].Marks = append(all.Marks[n-1].Marks, part.Marks[0].Marks...)
			part.Marks = part.Marks[1:]
		}
		all.Versions = append(all.Versions, part.Versions...)
		all.Sheets = append(all.Sheets, part.Sheets...)
		all.Runs = append(all.Runs, part.Runs...)
		all.Marks = append(all.Marks, part.Marks...)
		all.Links = append(all.Links, part.Links...)
		all.Wishes = append(all.Wishes, part.Wishes...)
		all.Closes += part.Closes
		all.Asides = append(all.Asides, part.Asides...)
		all.Drafts = append(all.Drafts, part.Drafts...)
	}
}

// CreateLink makes a link to an event. Its secret is in the answer and cannot be asked for again. The
// zero time means that it does not expire.
func (c *Client) CreateLink(ctx context.Context, event string, role kinorderv1.Role, whose string, expires time.Time, options ...CreateOption) (*kinorderv1.Link, error) {
	l := &kinorderv1.Link{Role: role, DisplayName: whose}
	if !expires.IsZero() {
		l.ExpireTime = timestamppb.New(expires)
	}
	o := created(options)
	return again(ctx, func() (*kinorderv1.Link, error) {
		return c.events.CreateLink(ctx, &kinorderv1.CreateLinkRequest{Parent: event, Link: l, RequestId: o.request})
	})
}

// Links yields the links of an event, oldest first.
func (c *Client) Links(ctx context.Context, event string) iter.Seq2[*kinorderv1.Link, error] {
	return listed(func(token string) ([]*kinorderv1.Link, string, error) {
		r, err := c.events.ListLinks(ctx, &kinorderv1.ListLinksRequest{Parent: event, PageToken: token})
		return r.GetLinks(), r.GetNextPageToken(), err
	})
}

// RevokeLink makes the secret of a link worthless.
func (c *Client) RevokeLink(ctx context.Context, name string) (*kinorderv1.Link, error) {
	r, err := c.events.RevokeLink(ctx, &kinorderv1.RevokeLinkRequest{Name: name})
	return r, Explain(err)
}

// CreateSheet plans an event and keeps the sheet. Of the options only budget and emphasis count.
func (c *Client) CreateSheet(ctx context.Context, event string, p PlanOptions, options ...CreateOption) (*kinorderv1.StoredSheet, error) {
	o := created(options)
	return again(ctx, func() (*kinorderv1.StoredSheet, error) {
		return c.sheets.CreateSheet(ctx, &kinorderv1.CreateSheetRequest{
			Parent: event, Budget: span(p.Budget), Emphasis: p.Emphasis, RequestId: o.request,
		}, grpc.MaxCallRecvMsgSize(maxAnswer))
	})
}

// Sheet returns a kept sheet.
func (c *Client) Sheet(ctx context.Context, name string) (*kinorderv1.StoredSheet, error) {
	r, err := c.sheets.GetSheet(ctx, &kinorderv1.GetSheetRequest{Name: name}, grpc.MaxCallRecvMsgSize(maxAnswer))
	return r, Explain(err)
}

// Sheets yields the sheets of an event without their content, oldest first.
func (c *Client) Sheets(ctx context.Context, event string) iter.Seq2[*kinorderv1.StoredSheet, error] {
	return listed(func(token string) ([]*kinorderv1.StoredSheet, string, error) {
		r, err := c.sheets.ListSheets(ctx, &kinorderv1.ListSheetsRequest{Parent: event, PageToken: token})
		return r.GetSheets(), r.GetNextPageToken(), err
	})
}

// DeleteSheet deletes a sheet; runs that began with it go on.
func (c *Client) DeleteSheet(ctx context.Context, name string) error {
	_, err := c.sheets.DeleteSheet(ctx, &kinorderv1.DeleteSheetRequest{Name: name})
	return Explain(err)
}

// CreateRun begins to go through a sheet.
func (c *Client) CreateRun(ctx context.Context, event, sheet string, options ...CreateOption) (*kinorderv1.Run, error) {
	o := created(options)
	return again(ctx, func() (*kinorderv1.Run, error) {
		return c.runs.CreateRun(ctx, &kinorderv1.CreateRunRequest{Parent: event, Run: &kinorderv1.Run{Sheet: sheet}, RequestId: o.request})
	})
}

// Run returns a run.
func (c *Client) Run(ctx context.Context, name string) (*kinorderv1.Run, error) {
	r, err := c.runs.GetRun(ctx, &kinorderv1.GetRunRequest{Name: name})
	return r, Explain(err)
}

// Runs yields the runs of an event, oldest first.
func (c *Client) Runs(ctx context.Context, event string) iter.Seq2[*kinorderv1.Run, error] {
	return listed(func(token string) ([]*kinorderv1.Run, string, error) {
		r, err := c.runs.ListRuns(ctx, &kinorderv1.ListRunsRequest{Parent: event, PageToken: token})
		return r.GetRuns(), r.GetNextPageToken(), err
	})
}

// DeleteRun deletes a run with its marks.
func (c *Client) DeleteRun(ctx context.Context, name string) error {
	_, err := c.runs.DeleteRun(ctx, &kinorderv1.DeleteRunRequest{Name: name})
	return Explain(err)
}

// AddMarks keeps marks, all or none, and returns the sequence of the run with them. Marks without id or
// time get them. It tries a few times by itself. When it returns an error, keep the marks and send the same
// ones again: that does no harm even if they had arrived.
func (c *Client) AddMarks(ctx context.Context, run string, marks ...*kinorderv1.Mark) (int64, error) {
	now := timestamppb.Now()
	for _, m := range marks {
		if m.Id == "" {
			m.Id = NewID()
		}
		if m.HappenTime == nil {
			m.HappenTime = now
		}
	}
	r, err := again(ctx, func() (*kinorderv1.AddMarksResponse, error) {
		return c.runs.AddMarks(ctx, &kinorderv1.AddMarksRequest{Name: run, Marks: marks, SendTime: timestamppb.Now()})
	})
	return r.GetSequence(), err
}
