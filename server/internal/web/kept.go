package web

import (
	"net/http"
	"time"

	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/web/proxy"
)

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
		Secure: proxy.Encrypted(r.Request),
	})
}

// visitor is who has sent a request; an error when nobody is signed in.
func (s *Server) visitor(r *request) (kept.Visitor, error) {
	if s.options.Desk == nil {
		return kept.Visitor{}, errUnknown
	}
	cookie := CookieIn(r.Request)
	if cookie == "" {
		return kept.Visitor{}, kept.ErrSignIn
	}
	return s.options.Desk.Visitor(r.Context(), r.from(), cookie)
}

// CookieIn is what a browser that is signed in sends; empty for others.
func CookieIn(r *http.Request) string {
	c, err := r.Cookie(cookieName)
	if err != nil {
		return ""
	}
	return c.Value
}
