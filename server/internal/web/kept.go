package web

import (
	"context"
	"errors"
	"net/http"
	"time"

	"kinorder.example/server/internal/event"
)

// Desk is what is kept of planners' work, and who may see it. Package desk has one on a store. Its errors are those
// below and others, which refusalOf takes for what they say.
type Desk interface {
	// Enter lets a browser in by what somebody typed or was given: the studio key, the secret of a link, or a ticket.
	Enter(ctx context.Context, from, secret string) (Visitor, string, error)
	// Visitor is who has a cookie that Enter made.
	Visitor(ctx context.Context, from, cookie string) (Visitor, error)
	// List lists what a visitor may see, what changed last first.
	List(ctx context.Context, v Visitor) ([]Listed, error)
	// Work is a version of an event as it was left; version 0 is the newest.
	Work(ctx context.Context, v Visitor, id string, version int64) (Work, error)
	// Begin keeps a new event, Save a new version of one. ErrClash when its version is not the newest.
	Begin(ctx context.Context, v Visitor, w Work) (Work, error)
	Save(ctx context.Context, v Visitor, w Work) (Work, error)
	// Steps lists the newest versions of an event, the newest first, without their content.
	Steps(ctx context.Context, v Visitor, id string) ([]Work, error)
	// Delete deletes an event with all that belongs to it.
	Delete(ctx context.Context, v Visitor, id string) error
}

// The errors of a desk.
var (
	// ErrSignIn says that somebody has to sign in first.
	ErrSignIn = errors.New("nobody is signed in")
	// ErrSecret says that what was typed opens nothing.
	ErrSecret = errors.New("the secret opens nothing")
	// ErrNotYours says that the visitor may not do it.
	ErrNotYours = errors.New("the visitor may not do that")
	// ErrDayLink says that a link is for the page of the day.
	ErrDayLink = errors.New("the link is for the page of the day")
	// ErrGone says that there is no such event or version.
	ErrGone = errors.New("there is no such event")
	// ErrClash says that somebody else changed it in between.
	ErrClash = errors.New("changed in between")
	// ErrNotKept says that what is kept cannot be reached or has no room.
	ErrNotKept = errors.New("the store cannot be used")
)

// Visitor is somebody who is signed in.
type Visitor struct {
	// Studio says that all events are theirs; otherwise Event is.
	Studio bool
	Event  string
	// By is what their steps are kept under, Key what their sign-in is known by.
	By, Key string
}

// Work is a version of an event as a planner left it.
type Work struct {
	ID      string
	Version int64
	At      time.Time
	// What was done last, and By whom, in words for people; empty where it came in another way.
	What, By string
	// Instead says that the version stands for the one it is of, too: typing on is one step.
	Instead bool
	// Label is what to call it without a title.
	Label string
	// Back and Forth are the versions that undoing leads to, and undoing that; 0 for none.
	Back, Forth int64
	Planned     bool
	Event       event.Event
	// Draft is what was written, in the form of the pages; empty where it came in another way.
	Draft string
}

// Listed is an event in the list of a visitor.
type Listed struct {
	ID, Title, Label, Date string
	Updated                time.Time
	Planned, Begun         bool
}

// cookieName is the cookie of whoever is signed in.
const cookieName = "kinorder-desk"

// signedFor is how long a browser that is not used stays signed in.
const signedFor = 30 * 24 * time.Hour

// setCookie signs a browser in, or out when the value is empty.
func setCookie(w http.ResponseWriter, r *request, value string) {
	age := int(signedFor / time.Second)
	if value == "" {
		age = -1
	}
	http.SetCookie(w, &http.Cookie{
		Name: cookieName, Value: value, Path: "/", MaxAge: age, HttpOnly: true, SameSite: http.SameSiteStrictMode,
		Secure: r.encrypted(),
	})
}

// visitor is who has sent a request; an error when nobody is signed in.
func (s *Server) visitor(r *request) (Visitor, error) {
	if s.options.Desk == nil {
		return Visitor{}, errUnknown
	}
	c, err := r.Cookie(cookieName)
	if err != nil {
		return Visitor{}, ErrSignIn
	}
	return s.options.Desk.Visitor(r.Context(), r.from(), c.Value)
}
