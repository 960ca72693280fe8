package api

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"

	"kinorder.example/server/internal/gate"
)

// A file that is refused before anybody reads it leaves nobody behind who would send it.
func TestFilesThatNobodyReads(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := New(Options{Memory: gate.NewMemory(), Log: slog.New(slog.DiscardHandler)})
		calls := grpc.NewServer(s.ServerOptions()...)
		s.Register(calls)
		h, err := s.HTTP(calls)
		require.NoError(t, err)
		r := httptest.NewRequest(http.MethodPost, importPath, strings.NewReader("Ann"))
		r.Header.Set("X-Server-Timeout", "soon")
		answer := httptest.NewRecorder()
		h.ServeHTTP(answer, r)
		assert.Equal(t, http.StatusBadRequest, answer.Code)
	})
}
