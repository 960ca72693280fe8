package web

import (
	"time"

	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/web/proxy"
)

// trustPath is where a phone finds how to trust this server, and certificatePath what it installs.
const (
	trustPath       = "/trust"
	certificatePath = "/trust/kinorder.crt"
)

// trustView is what the page about trust shows.
type trustView struct {
	// Own says that the server vouches for itself; the rest is empty otherwise.
	Own         bool
	Certificate string // the address of the file
	Fingerprint []string
	Ends        string
	// Encrypted says that the page came over TLS, at this server or at a proxy in front of it.
	Encrypted bool
}

// authority is what vouches for this server; nil when nothing does.
func (s *Server) authority() kept.Authority {
	if s.options.Authority == nil && s.options.Network != nil && len(s.options.Network.At()) > 0 {
		return s.options.Network.Authority()
	}
	return s.options.Authority
}

// trust explains how a phone comes to trust the server.
func (s *Server) trust(r *request) (*response, error) {
	v := trustView{Encrypted: proxy.Encrypted(r.Request)}
	if a := s.authority(); a != nil {
		v.Own, v.Certificate, v.Fingerprint, v.Ends = true, certificatePath, a.Fingerprint(), r.words.LongDate(a.Ends().Format(time.DateOnly))
	}
	return draw(r.words, "trust", shell{Title: r.words.Say("page.trustThisServer")}, v)
}

// certificate hands out what a phone installs.
func (s *Server) certificate(*request) (*response, error) {
	a := s.authority()
	if a == nil {
		return nil, errUnknown
	}
	// Registered by RFC 2585, section 4.1, is application/pkix-cert; phones offer to install this one.
	return &response{kind: "application/x-x509-ca-cert", file: "kinorder.crt", content: a.DER()}, nil
}
