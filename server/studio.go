package server

import (
	"context"
	"net/http"
	"path/filepath"
	"strings"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/api"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web"
	"kinorder.example/server/internal/web/desk"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/web/phone"
	"kinorder.example/server/internal/webhook"
)

// studio is all that is kept of one studio and what answers for it. Nothing of it is shared with another, so that no
// name or secret of one leads to what another keeps.
type studio struct {
	of     store.Studio // the zero value is the server's own
	store  *store.Store // nil when nothing is kept; so are those below, but for keeper
	runs   *run.Desk
	guard  *access.Guard
	work   *desk.Desk
	day    http.Handler
	keeper *api.Keeper
	teller *webhook.Teller

	server *Server
	// pages are those of a hosted studio, to which the server's own lead, and answers what answers there.
	pages   *web.Server
	answers http.Handler
}

// newStudio wires what answers for a studio to what is kept of it.
func (s *Server) newStudio(kept *store.Store, of store.Studio) *studio {
	st := &studio{of: of, store: kept, server: s}
	party := gate.Party{Number: of.Number, Most: int(of.Searches)}
	if kept != nil {
		log, signs := s.config.Log, s.config.StudioKey
		st.guard = access.New(kept, s.config.StudioKey)
		if of.Name != "" {
			log = log.With("studio", of.Number)
			st.guard = access.NewHashed(kept, of.Hash)
			// Whoever has a copy of the list of studios has not the key of the server, and can sign no cookies.
			signs = store.HashSecret("cookies " + s.config.StudioKey + " " + of.Hash)
		}
		st.runs = run.NewDesk(run.DeskOptions{Store: kept, Replan: s.replan, Gate: s.gate, Party: party, Log: log})
		st.work = desk.New(desk.Options{Store: kept, Guard: st.guard, Runs: st.runs, StudioKey: signs})
		st.teller = webhook.New(webhook.Options{Store: kept, Log: log, Private: s.config.WebhooksPrivate})
		st.day = phone.New(phone.Options{Store: kept, Desk: st.runs, Guard: st.guard, Log: log}).Handler()
	}
	st.keeper = api.NewKeeper(s.service, api.KeeperOptions{Store: kept, Desk: st.runs, Guard: st.guard, Pages: s.config.PagesPort, Party: party, Private: s.config.WebhooksPrivate})
	return st
}

// openStudio opens what is kept of a studio.
func (s *Server) openStudio(ctx context.Context, of store.Studio) (*studio, error) {
	kept, err := s.hosted.place.Open(ctx, store.Options{Studio: of.Name, Limits: of.Limits})
	if err != nil {
		return nil, err
	}
	st := s.newStudio(kept, of)
	st.pages = web.New(st.options(s.web))
	st.answers = st.pages.Handler()
	return st, nil
}

// options are those of the pages of a studio.
func (st *studio) options(o web.Options) web.Options {
	if st.store == nil {
		return o
	}
	o.Day, o.Desk = st.day, entrance{st.work, st}
	if st.of.Name != "" {
		o.Elsewhere, o.Log = nil, o.Log.With("studio", st.of.Number)
	} else if c := st.server.config; c.Phones != nil {
		st.server.phones = &phones{listen: c.Phones, serve: st.server.ServePages, log: c.Log, file: filepath.Join(c.Data, "phones-let-in")}
		o.Network = st.server.phones
	}
	return o
}

// ServeHTTP answers a request of somebody who has a secret of the studio.
func (st *studio) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	st.answers.ServeHTTP(w, r.WithContext(gate.As(r.Context(), gate.Party{Number: st.of.Number, Most: int(st.of.Searches)})))
}

// entrance is a desk at which secrets of all studios open, because a browser may sign in to another one than before. The
// cookies of a hosted studio carry its name.
type entrance struct {
	*desk.Desk
	studio *studio
}

// Enter implements kept.Desk.
func (e entrance) Enter(ctx context.Context, from, secret string) (kept.Visitor, string, error) {
	st, leave, err := e.studio.server.hosted.find(ctx, secret)
	if err != nil {
		return kept.Visitor{}, "", kept.ErrNotKept
	}
	defer leave()
	v, cookie, err := st.work.Enter(ctx, from, secret)
	return v, store.SecretOf(st.of.Name, cookie), err
}

// Visitor implements kept.Desk.
func (e entrance) Visitor(ctx context.Context, from, cookie string) (kept.Visitor, error) {
	inner, ok := strings.CutPrefix(cookie, store.SecretOf(e.studio.of.Name, ""))
	if !ok {
		return kept.Visitor{}, kept.ErrSignIn
	}
	return e.Desk.Visitor(ctx, from, inner)
}

// keeperOf is what answers the calls with a secret.
func (s *Server) keeperOf(ctx context.Context, secret string) (*api.Keeper, func(), error) {
	st, leave, err := s.hosted.find(ctx, secret)
	if err != nil {
		return nil, nil, err
	}
	return st.keeper, leave, nil
}

// elsewhere is what answers a request that has a secret of another studio than the server's own.
func (s *Server) elsewhere(r *http.Request) (http.Handler, func(), error) {
	day := strings.HasPrefix(r.URL.Path, phone.Prefix)
	secret := web.CookieIn(r)
	if day {
		secret = phone.SecretIn(r)
	}
	st, leave, err := s.hosted.find(r.Context(), secret)
	switch {
	case err != nil && day: // a phone must not take it for a secret that has ended
		return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { phone.Refuse(w, err) }), func() {}, nil
	case err != nil:
		return nil, func() {}, kept.ErrNotKept
	case st == s.own:
		return nil, leave, nil
	}
	return st, leave, nil
}
