package people

import (
	"slices"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/wording"
)

// SummaryOf counts what was read.
func SummaryOf(e event.Event) wording.Message {
	taken, emptied := event.Expand(e)
	return wording.Say("%s", wording.Comma(wording.Say("sheet.personCount", len(e.People)),
		wording.Say("sheet.photographCount", len(taken)+len(emptied))))
}

// TimeOf says how many photos there are, about how long they take, and for how long there is; over that that is less.
func TimeOf(c *wording.Catalogue, e event.Event) (text string, over bool) {
	photos := wording.Say("sheet.photographCount", len(ReadOf(c, e).Photographs))
	takes, there, err := model.Estimate(e)
	switch {
	case err != nil || takes == 0:
		return c.Render(photos), false
	case there == 0:
		return c.Say("page.photosTake", photos, minutes(c, takes)), false
	}
	return c.Say("page.photosTakeOf", photos, minutes(c, takes), thereIs(c, e, there)), takes > there
}

func minutes(c *wording.Catalogue, d time.Duration) wording.Message {
	return wording.Say("sheet.minutes", c.Number(int(d.Round(time.Minute).Minutes())))
}

// thereIs says how much time there is. What photographers have who work beside each other stands apart: together it would
// look as if there were so much to spare.
func thereIs(c *wording.Catalogue, e event.Event, there time.Duration) string {
	type span struct{ from, to time.Time }
	var crews []string
	of, each := map[string][]span{}, map[string]time.Duration{}
	beside := false
	for _, b := range e.Blocks {
		from, err := e.Instant(b.Opens)
		to, err2 := e.Instant(b.Closes)
		if err != nil || err2 != nil {
			return c.Render(minutes(c, there))
		}
		if of[b.Photographer] == nil {
			crews = append(crews, b.Photographer)
		}
		of[b.Photographer] = append(of[b.Photographer], span{from, to})
		each[b.Photographer] += to.Sub(from)
		for _, crew := range crews {
			beside = beside || crew != b.Photographer && slices.ContainsFunc(of[crew], func(x span) bool { return x.from.Before(to) && from.Before(x.to) })
		}
	}
	if !beside {
		return c.Render(minutes(c, there))
	}
	var parts []string
	for _, crew := range crews {
		parts = append(parts, c.Render(minutes(c, each[crew])))
	}
	return strings.Join(parts, " + ")
}

// Bar says how much it is: people, photos, about how long they take of the time there is once they can be planned, and how
// much has to be fixed.
func Bar(c *wording.Catalogue, e event.Event, ready bool, faults int) string {
	parts := []string{c.Render(SummaryOf(e))}
	if takes, there, err := model.Estimate(e); ready && err == nil && there > 0 {
		parts = append(parts, c.Say("page.aboutMinutesOf", minutes(c, takes), thereIs(c, e, there)))
	} else if ready && err == nil && takes > 0 {
		parts = append(parts, c.Say("page.aboutMinutes", minutes(c, takes)))
	}
	if faults > 0 {
		parts = append(parts, c.Say("page.toMend", faults))
	}
	return c.Facts(parts...)
}

// Rendered puts messages into words.
func Rendered(c *wording.Catalogue, list []wording.Message) []string {
	var out []string
	for _, m := range list {
		out = append(out, c.Render(m))
	}
	return out
}

// UsedOf says what became of the lines of a typed list, so that none is passed over.
func UsedOf(lines []intake.Line) wording.Message {
	if len(lines) == 0 {
		return wording.Message{}
	}
	n := map[place.Use]int{}
	for _, l := range lines {
		n[l.Use]++
	}
	parts := []wording.Message{wording.Say("page.used", n[place.Used])}
	if n[place.Asked] > 0 {
		parts = append(parts, wording.Say("page.askedAbout", n[place.Asked]))
	}
	if n[place.Reported] > 0 {
		parts = append(parts, wording.Say("page.notUsed", n[place.Reported]))
	}
	return wording.Say("page.of", wording.Say("sheet.lineCount", len(lines)-n[place.Ruler]), wording.Comma(parts...))
}

// ReadView shows what was understood, so that nothing that is missing goes unseen.
type ReadView struct{ Photographs []PhotoView }

// PhotoView is a photo with who is in it. ID is empty but for the first of what one line asks for, Open are its fields while
// they are shown, and Focus says that it was pressed.
type PhotoView struct {
	ID, Title, Priority string
	Names               []string
	Open                *Casting
	Focus               bool
}

// Casting shows the fields of a photo, or has the focus on it when they were just filled in.
func (v *ReadView) Casting(e event.Event, act, at string) {
	taken, _ := event.Expand(e)
	for i := range v.Photographs {
		p, k := &v.Photographs[i], taken[i].Source
		if i > 0 && taken[i-1].Source == k {
			continue
		}
		p.ID = event.GroupingID(&e, k)
		if p.Focus = at == p.ID && (act == "photo" || act == "photo-done"); p.Focus && act == "photo" {
			p.Open = CastingOf(&e, k, false)
			p.Open.Theirs = true
		}
	}
}

// ReadOf is that of an event.
func ReadOf(c *wording.Catalogue, e event.Event) ReadView {
	var v ReadView
	name := map[string]string{}
	for _, p := range e.People {
		name[p.ID] = firstOf(p.Name, p.ID)
	}
	taken, _ := event.Expand(e)
	for _, p := range taken {
		photo := PhotoView{Title: p.Title}
		if k, ok := map[event.Priority]wording.Key{event.Must: "page.must", event.Nice: "page.ifTime"}[p.Priority]; ok {
			photo.Priority = c.Say(k)
		}
		for _, id := range p.Members {
			photo.Names = append(photo.Names, name[id])
		}
		v.Photographs = append(v.Photographs, photo)
	}
	return v
}
