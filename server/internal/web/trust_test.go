package web

import (
	"log/slog"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/planning"
)

// vouching is an authority that a test knows.
type vouching struct{}

func (vouching) DER() []byte           { return []byte{0x30, 0} }
func (vouching) Fingerprint() []string { return []string{"AA:01", "BB:02"} }
func (vouching) Ends() time.Time       { return time.Date(2031, 6, 19, 0, 0, 0, 0, time.UTC) }

func TestTrust(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.get(trustPath)
	assert.Equal(t, http.StatusOK, p.Code)
	assert.Contains(t, p.Body.String(), "--tls-own", "without encryption it says how to get some")
	assert.Equal(t, http.StatusNotFound, v.get(certificatePath).Code)

	s := New(Options{Plan: planning.Plan, Log: slog.New(slog.DiscardHandler), Authority: vouching{}})
	v.handler = s.Handler()
	p = v.get(trustPath)
	for _, part := range []string{`href="/trust/kinorder.crt"`, "AA:01", "BB:02", "19 June 2031"} {
		assert.Contains(t, p.Body.String(), part)
	}
	p = v.get(certificatePath)
	assert.Equal(t, "application/x-x509-ca-cert", p.Header().Get("Content-Type"))
	assert.Equal(t, vouching{}.DER(), p.Body.Bytes())
}
