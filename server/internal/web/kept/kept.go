// Package kept has the words between the planner's pages and what keeps planners' work for them.
package kept

import (
	"context"
	"encoding/json"
	"errors"
	"time"

	"kinorder.example/server/internal/event"
)

// Desk is what is kept of planners' work, and who may see it. Package desk has one on a store. Its errors are those
// below and others, which count for what they say.
type Desk interface {
	// Enter lets a browser in by what somebody typed or was given: the studio key, the secret of a link, or a ticket.
	Enter(ctx context.Context, from, secret string) (Visitor, string, error)
	// Visitor is who has a cookie that Enter made.
	Visitor(ctx context.Context, from, cookie string) (Visitor, error)
	// List lists what a visitor may see, what changed last first.
	List(ctx context.Context, v Visitor) ([]Listed, error)
	// Work is a version of an event as it was left; version 0 is the newest.
	Work(ctx context.Context, v Visitor, id string, version int64) (Work, error)
	// Newest is the number of the newest version of an event.
	Newest(ctx context.Context, v Visitor, id string) (int64, error)
	// Begin keeps a new event, Save a new version of one. ErrClash when its version is not the newest.
	Begin(ctx context.Context, v Visitor, w Work) (Work, error)
	Save(ctx context.Context, v Visitor, w Work) (Work, error)
	// Steps lists the newest versions of an event, the newest first, without their content.
	Steps(ctx context.Context, v Visitor, id string) ([]Work, error)
	// SetAside keeps what was written while somebody else changed an event, under a key of the window where it was, until
	// somebody chooses and it is settled.
	SetAside(ctx context.Context, v Visitor, key string, w Work) error
	Aside(ctx context.Context, v Visitor, id, key string) (Aside, error)
	Settle(ctx context.Context, v Visitor, id, key string) error
	// Asides lists what was set aside, the newest first, without its content.
	Asides(ctx context.Context, v Visitor, id string) ([]Aside, error)
	// Delete deletes an event with all that belongs to it.
	Delete(ctx context.Context, v Visitor, id string) error
	// Crew is who has links to an event, and which plan they have.
	Crew(ctx context.Context, v Visitor, id string) (Crew, error)
	// Numbers are those that photos of an event go by since its day began, by id; none before.
	Numbers(ctx context.Context, v Visitor, id string, e event.Event) (map[string]int, error)
	// Send gives the crew a plan: that of a version.
	Send(ctx context.Context, v Visitor, w Work, plan event.CallSheet) error
	// Link makes a link and returns its secret, which cannot be asked for again. Unlink ends one.
	Link(ctx context.Context, v Visitor, id string, l Link) (secret string, err error)
	Unlink(ctx context.Context, v Visitor, id, link string) error
	Wisher
	// Here makes a lead's link for the browser of a visitor, another one than before, and returns its secret.
	Here(ctx context.Context, v Visitor, id, title string) (secret string, err error)
}

// Crew is who has links to an event.
type Crew struct {
	Links []Link
	// Plan is what they were sent last, Sent when; nil when nothing was.
	Plan *event.CallSheet
	Sent time.Time
	// Begun says that a day of it has begun.
	Begun bool
}

// The roles of links.
const (
	PlannerLink = "owner"
	LeadLink    = "lead"
	ReaderLink  = "reader"
	FamilyLink  = "family"
	CoupleLink  = "couple"
)

// Link is one that somebody has.
type Link struct {
	ID, Role, Title string
	Expires         time.Time // zero means never
	Ended           bool      // it was revoked, or its time is over
}

// SecondBlock is where the second photographer works first: the first time slot of another photographer than the first,
// or at another place at that time. It is empty where one does all.
func SecondBlock(e event.Event) string {
	for _, b := range e.Blocks {
		first := e.Blocks[0]
		if b.Photographer != first.Photographer || b.Place != first.Place && b.Opens == first.Opens {
			return b.ID
		}
	}
	return ""
}

// Network lets phones in where the program serves this machine only.
type Network interface {
	// Open lets them in, encrypted. Once is enough.
	Open() error
	// At are the addresses where they come in, none before Open; Authority is what vouches for them.
	At() []string
	Authority() Authority
	// Shut says that phones of a day that may still run were let in before the program was started, and are not now.
	Shut() bool
}

// PhonesShut says to whoever may let phones in that those of a running day are shut out since the program was started anew.
func PhonesShut(n Network, v Visitor) bool { return n != nil && v.Studio && n.Shut() }

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
	// ErrClosed says that the list is closed for the visitor.
	ErrClosed = errors.New("the list is closed")
	// ErrNotKept says that what is kept cannot be reached or has no room.
	ErrNotKept = errors.New("the store cannot be used")
)

// QuotaError says that the studio has as many events as it may have, or more people in one; when both are 0, as much
// storage.
type QuotaError struct{ Events, People int64 }

func (*QuotaError) Error() string { return "the studio has as much as it may have" }

// Visitor is somebody who is signed in.
type Visitor struct {
	// Studio says that all events are theirs; otherwise Event is.
	Studio bool
	Event  string
	// Wishes is the event for which a family may wish, and of which it sees nothing else.
	Wishes string
	// Couple is the event whose couple it is, which sees its people and photos and no more.
	Couple string
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
	// Mine says that whoever asks made it, Studio that it came by no link.
	Mine, Studio bool
	// Instead says that the version stands for the one it is of, too: typing on is one step.
	Instead bool
	// Label is what to call it without a title.
	Label string
	// Back and Forth are the versions that undoing leads to, and undoing that; 0 for none.
	Back, Forth int64
	Planned     bool
	// Closes is the day from which on the list is closed for links, empty for none. Closing, when it is not nil, sets it.
	Closes  string
	Closing *string
	Event   event.Event
	// Draft is what was written, in the form of the pages; empty where it came in another way.
	Draft string
}

// Aside is what was written while somebody else changed the event.
type Aside struct {
	Key     string
	Settled bool
	Work
}

// Listed is an event in the list of a visitor.
type Listed struct {
	ID, Title, Label, Date string
	Updated                time.Time
	Planned, Begun         bool
	// Closes is the day from which on its list is closed, in the time zone Zone; it may lack where that makes no difference.
	Closes, Zone string
}

// Authority is what vouches for this server before phones, when it made its own certificate.
type Authority interface {
	// DER is its certificate in the form that phones install.
	DER() []byte
	// Fingerprint is the SHA-256 of that, in groups to compare by eye.
	Fingerprint() []string
	// Ends is when phones stop trusting it.
	Ends() time.Time
}

// SamePlan says that two plans are the same on every sheet.
func SamePlan(a, b event.CallSheet) bool {
	x, _ := json.Marshal(a)
	y, _ := json.Marshal(b)
	return string(x) == string(y)
}
