package kept

import (
	"context"
	"errors"
)

// Wisher keeps what families wish for.
type Wisher interface {
	// Wish keeps the wishes of a family, a line each. ErrManyWishes when they are more than a link may make.
	Wish(ctx context.Context, v Visitor, lines []string) error
	// Wishes lists what a family wished for; for whoever plans, what all did for an event.
	Wishes(ctx context.Context, v Visitor, id string) ([]Wish, error)
	// Answer says whether a wish was put on the list.
	Answer(ctx context.Context, v Visitor, id, wish string, taken bool) error
	// About is what a family may know of the event.
	About(ctx context.Context, v Visitor) (About, error)
}

// ErrManyWishes says that a link made as many wishes as it may.
var ErrManyWishes = errors.New("the link made all the wishes that it may")

// Wish is a line that a family would like to have on the list.
type Wish struct {
	ID, Text string
	// From is whose link it came by.
	From string
	// Taken says that it was put on the list, Declined that it was not.
	Taken, Declined bool
}

// About is what a family may know of an event: what it is called, its date, and the day from which on its list is closed there.
type About struct{ Title, Date, Closes, Zone string }
