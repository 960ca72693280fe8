package web

import (
	"html/template"
	"net/url"
	"strings"

	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/wording"
)

// messagesView is the page of the messages that go out before the day.
type messagesView struct {
	Seat     seat
	Title    string
	Messages []messageView
}

// messageView is one of them, in the language of those who get it.
type messageView struct {
	To, Language, Direction, Body string
	Rows                          int
	Links                         []sendLink
	Without                       []string // who has neither telephone nor mail
}

// sendLink opens a program of the device with the message in it.
type sendLink struct {
	Name    string
	Address template.URL
	Mail    bool
}

// openMessages shows the messages of a plan. Telephones and addresses stand on this page and nowhere else.
func (s *Server) openMessages(r *request) (*response, error) {
	e, plan, ok, err := s.sendable(r)
	if err != nil {
		return nil, err
	}
	if !ok {
		return s.lead(r, r.seat.Root, nil), nil
	}
	over := draftIn(r.work).Over
	name := map[string]string{}
	for _, p := range e.People {
		name[p.ID] = firstOf(p.Name, p.ID)
	}
	in := map[string][]sheet.Message{}
	messages := func(language string) []sheet.Message {
		if _, there := in[language]; !there {
			in[language] = sheet.Messages(e, plan, language)
		}
		return in[language]
	}
	v := messagesView{Seat: r.seat, Title: s.titleOf(r)}
	for k, m := range messages(r.words.Tag()) {
		words := r.words
		for _, id := range m.People {
			if c, ok := wording.For(over.Said(id, "tongue")); ok && over.Said(id, "tongue") != "" {
				words = c
				break
			}
		}
		body := messages(words.Tag())[k].Body
		x := messageView{To: m.To, Language: words.Tag(), Direction: words.Direction(), Body: body, Rows: min(2+strings.Count(body, "\n"), 14)}
		for _, id := range m.People {
			if to, mail := sendTo(over.Said(id, "contact"), s.titleOf(r), body); to != "" {
				x.Links = append(x.Links, sendLink{name[id], to, mail})
			} else {
				x.Without = append(x.Without, name[id])
			}
		}
		v.Messages = append(v.Messages, x)
	}
	return draw(r.words, "messages", shell{Title: r.words.Say("page.messagesToEachFamily"), Step: 3, Here: r.seat.Root + "/messages", Plain: true, Seat: r.seat}, v)
}

// sendTo is the address that writes to a telephone or by mail; empty where it is neither.
func sendTo(contact, subject, body string) (to template.URL, mail bool) {
	text := func(s string) string { return strings.ReplaceAll(url.QueryEscape(s), "+", "%20") }
	if strings.Contains(contact, "@") {
		return template.URL("mailto:" + url.PathEscape(contact) + "?subject=" + text(subject) + "&body=" + text(body)), true
	}
	number := strings.Map(func(c rune) rune {
		if c >= '0' && c <= '9' || c == '+' {
			return c
		}
		return -1
	}, contact)
	if len(number) < 3 {
		return "", false
	}
	return template.URL("sms:" + number + "?body=" + text(body)), false
}
