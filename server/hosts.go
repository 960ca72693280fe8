package server

import (
	"crypto/x509"
	"encoding/pem"
	"fmt"
	"net"
	"net/netip"
	"os"
	"regexp"
	"strings"

	"kinorder.example/server/internal/authority"
)

var hostNames = regexp.MustCompile(`^(\*\.)?[a-z0-9_]([a-z0-9_-]*[a-z0-9_])?(\.[a-z0-9_]([a-z0-9_-]*[a-z0-9_])?)*$`)

// knownHosts says under which hosts pages are asked for by right: any address, the names of this machine, and
// those that are given. Somebody else's name never leads here but by a trick: a page of theirs that has its
// name point to an address of this network, to read what is there.
func knownHosts(given []string) (func(host string) bool, error) {
	known := map[string]bool{"": true} // no browser leaves it out
	for _, name := range append(authority.LocalNames(), given...) {
		name = strings.ToLower(name)
		if !hostNames.MatchString(name) {
			return nil, fmt.Errorf("server: %q is not the name of a host: write the name alone, such as photos.example", name)
		}
		known[name] = true
	}
	return func(host string) bool {
		name := host
		if alone, _, err := net.SplitHostPort(host); err == nil {
			name = alone
		}
		name = strings.ToLower(strings.TrimSuffix(strings.Trim(name, "[]"), "."))
		if _, err := netip.ParseAddr(name); err == nil {
			return true
		}
		_, below, _ := strings.Cut(name, ".")
		return known[name] || known["*."+below] || strings.HasSuffix(name, ".localhost")
	}, nil
}

// CertificateHosts are the names that a certificate, a file in PEM form, is for.
func CertificateHosts(file string) ([]string, error) {
	content, err := os.ReadFile(file)
	if err != nil {
		return nil, fmt.Errorf("server: %w", err)
	}
	block, _ := pem.Decode(content)
	if block == nil {
		return nil, fmt.Errorf("server: %s holds no certificate", file)
	}
	c, err := x509.ParseCertificate(block.Bytes)
	if err != nil {
		return nil, fmt.Errorf("server: %s: %w", file, err)
	}
	return c.DNSNames, nil
}
