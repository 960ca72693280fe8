// Package authority vouches for this machine before phones: it keeps a certificate authority in a
// folder and signs certificates for whatever addresses the machine has at the moment. A phone that has
// been told once to trust the authority trusts the server at every venue.
//
// The authority can vouch for private addresses and for names of the local network only, and says so in
// its own certificate, so that a phone that trusts it gives away no more than that.
package authority

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
)

const (
	// PublicName is the file of the certificate in the folder: what others may have.
	PublicName = "authority.pem"
	// privateName is the file of the certificate and its key.
	privateName = "authority-key.pem"

	// authorityTime is how long phones may trust the authority.
	authorityTime = 5 * 365 * 24 * time.Hour
	// signedTime is how long a signed certificate lasts. Phones refuse more than 825 days from an
	// authority that their owner installed.
	signedTime = 30 * 24 * time.Hour
	// early is how long before its making a certificate is valid, for phones whose clock is slow.
	early = 24 * time.Hour
	// renewTime is how long before its end a certificate is replaced.
	renewTime = 24 * time.Hour
)

// Authority signs certificates for this machine. It is safe for use by several goroutines.
type Authority struct {
	certificate *x509.Certificate
	key         crypto.Signer
	host        Host

	mu     sync.Mutex
	signed *tls.Certificate // the last one; nil before the first
}

// Host is what an Authority has to know of the machine. The zero value asks the system.
type Host struct {
	// Name is the machine's name in the local network.
	Name func() (string, error)
	// Addresses are the machine's addresses at the moment.
	Addresses func() ([]net.Addr, error)
	Now       func() time.Time
}

// Open reads the authority that a folder keeps, or makes one. The folder and the private file are
// readable by their owner only; the certificate is written beside it for others to take. Its error
// names the file and says what to do with it.
func Open(folder string, host Host) (*Authority, error) {
	host = host.orSystem()
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fmt.Errorf("authority: %w", err)
	}
	file := filepath.Join(folder, privateName)
	content, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		if err = create(file, template(host)); err == nil {
			content, err = os.ReadFile(file)
		}
	}
	if err != nil {
		return nil, fmt.Errorf("authority: %w", err)
	}
	a, err := parse(content, host)
	if err != nil {
		return nil, fmt.Errorf("authority: %s cannot be used: %w; move it away and a new one is made, which phones have to be told to trust; "+
			"remove the old one from them", file, err)
	}
	if err := os.WriteFile(filepath.Join(folder, PublicName), a.PEM(), 0o644); err != nil {
		return nil, fmt.Errorf("authority: %w", err)
	}
	return a, nil
}

func (h Host) orSystem() Host {
	if h.Name == nil {
		h.Name = os.Hostname
	}
	if h.Addresses == nil {
		h.Addresses = net.InterfaceAddrs
	}
	if h.Now == nil {
		h.Now = time.Now
	}
	return h
}

// template is the certificate of an authority that is made now.
func template(host Host) *x509.Certificate {
	now := host.Now()
	return &x509.Certificate{
		SerialNumber: serial(),
		Subject:      pkix.Name{CommonName: authorityName(host.name(), now)},
		NotBefore:    now.Add(-early), NotAfter: now.Add(authorityTime),
		IsCA: true, BasicConstraintsValid: true, MaxPathLenZero: true,
		KeyUsage:                    x509.KeyUsageCertSign,
		ExtKeyUsage:                 []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		PermittedDNSDomainsCritical: true,
		PermittedDNSDomains:         localDomains,
		PermittedIPRanges:           privateRanges,
	}
}

// create makes an authority and writes it to a file that does not exist. When another process was
// quicker, its authority stays.
func create(file string, template *x509.Certificate) error {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return err
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, key.Public(), key)
	if err != nil {
		return err
	}
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return err
	}
	content := append(encode("CERTIFICATE", der), encode("PRIVATE KEY", secret)...)
	return WriteNew(file, content)
}

// authorityName is what a phone lists the authority under; RFC 5280 allows 64 characters.
func authorityName(host string, made time.Time) string {
	return "kinorder on " + host[:min(len(host), 30)] + ", made " + made.Format(time.DateOnly)
}

// WriteNew writes a file whole or not at all, and leaves one that is there as it is.
func WriteNew(file string, content []byte) error {
	f, err := os.CreateTemp(filepath.Dir(file), ".kinorder-*") // readable by its owner only
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil {
		if err = os.Link(f.Name(), file); errors.Is(err, fs.ErrExist) {
			err = nil
		}
	}
	return errors.Join(err, os.Remove(f.Name()))
}

// parse reads what create wrote.
func parse(content []byte, host Host) (*Authority, error) {
	pair, err := tls.X509KeyPair(content, content)
	if err != nil {
		return nil, err
	}
	key, ok := pair.PrivateKey.(crypto.Signer)
	switch now := host.Now(); {
	case !ok || !pair.Leaf.IsCA:
		return nil, errors.New("it is no certificate authority")
	case now.After(pair.Leaf.NotAfter.Add(-signedTime)):
		return nil, fmt.Errorf("it ends on %s", pair.Leaf.NotAfter.Format(time.DateOnly))
	}
	for _, domain := range pair.Leaf.PermittedDNSDomains {
		if !slices.Contains(localDomains, domain) {
			return nil, fmt.Errorf("an older version made it, and it may vouch for sites on the internet whose name ends in %q", domain)
		}
	}
	return &Authority{certificate: pair.Leaf, key: key, host: host}, nil
}

// Certificate returns a certificate for the connection that a client opens, signed anew when the
// machine has got an address that the last one does not name, or when it ends soon. It is made for
// tls.Config.GetCertificate.
func (a *Authority) Certificate(hello *tls.ClientHelloInfo) (*tls.Certificate, error) {
	var local net.IP
	if tcp, ok := hello.Conn.LocalAddr().(*net.TCPAddr); ok {
		local = tcp.IP
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.signed == nil || a.host.Now().After(a.signed.Leaf.NotAfter.Add(-renewTime)) ||
		private(local) && !names(a.signed.Leaf, local) {
		signed, err := a.sign(local)
		if err != nil {
			return nil, fmt.Errorf("authority: %w", err)
		}
		a.signed = signed
	}
	return a.signed, nil
}

// sign makes a certificate for all that the machine is called by, and for one address more.
func (a *Authority) sign(local net.IP) (*tls.Certificate, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	now := a.host.Now()
	template := &x509.Certificate{
		SerialNumber: serial(),
		Subject:      pkix.Name{CommonName: "kinorder"},
		NotBefore:    now.Add(-early), NotAfter: now.Add(signedTime),
		KeyUsage:    x509.KeyUsageDigitalSignature,
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		DNSNames:    a.host.names(),
		IPAddresses: a.host.addresses(),
	}
	if private(local) && !contains(template.IPAddresses, local) {
		template.IPAddresses = append(template.IPAddresses, local)
	}
	der, err := x509.CreateCertificate(rand.Reader, template, a.certificate, key.Public(), a.key)
	if err != nil {
		return nil, err
	}
	leaf, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, err
	}
	return &tls.Certificate{Certificate: [][]byte{der, a.certificate.Raw}, PrivateKey: key, Leaf: leaf}, nil
}

// PEM is the authority's certificate for programs, without its key.
func (a *Authority) PEM() []byte { return encode("CERTIFICATE", a.certificate.Raw) }

// DER is the authority's certificate in the form that phones install, without its key.
func (a *Authority) DER() []byte { return bytes.Clone(a.certificate.Raw) }

// Ends is the day after which nothing that the authority signed is trusted.
func (a *Authority) Ends() time.Time { return a.certificate.NotAfter }

// Fingerprint is the SHA-256 of the authority's certificate as phones show it: 32 bytes in capital
// hexadecimal digits with colons, in groups that are easy to compare.
func (a *Authority) Fingerprint() []string {
	sum := sha256.Sum256(a.certificate.Raw)
	var groups []string
	for part := range 4 {
		var pairs []string
		for _, b := range sum[8*part : 8*part+8] {
			pairs = append(pairs, fmt.Sprintf("%02X", b))
		}
		groups = append(groups, strings.Join(pairs, ":"))
	}
	return groups
}

func serial() *big.Int {
	n, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 127))
	if err != nil {
		panic(err) // rand.Reader never fails, as its documentation says
	}
	return n
}

func encode(kind string, content []byte) []byte {
	return pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: content})
}
