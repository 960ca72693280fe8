package web

import (
	"context"
	"errors"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/wording"
)

// addPhoto puts a photo on the list that was ticked or suggested, where the button says so. Else what was ticked stays.
func (r *reading) addPhoto(ctx context.Context, c *wording.Catalogue, form fields.Posted) error {
	act, _, _ := strings.Cut(form.Line("act"), ":")
	wanted := people.Wanted(c, r.event, form)
	if r.ticked = wanted; act != "add-photo" && act != "suggest" {
		return nil
	}
	ctx, cancel := context.WithTimeoutCause(ctx, listTime, fields.ErrCrowded)
	defer cancel()
	added, err := people.Add(r.text, r.said, wanted, func(text string) (intake.Reading, error) { return r.listed(ctx, text) })
	said := map[error]wording.Key{people.ErrFewPeople: "page.tickWhoIsInIt", people.ErrTable: "page.wishNeedsATypedList", people.ErrNotRead: "page.photoIsNotRead"}
	for is, key := range said {
		if errors.Is(err, is) {
			r.notices = append(r.notices, wording.Say(key))
			return nil
		}
	}
	if err != nil {
		return err
	}
	d, notices := r.draft, r.notices
	d.text, d.Titles = added.List, append(slices.Clone(d.Titles), added.Over...)
	if *r, err = d.read(ctx); err != nil {
		return err
	}
	r.notices = append(append(notices, r.notices...), wording.Say("page.photoWasAdded", added.Line))
	return nil
}
