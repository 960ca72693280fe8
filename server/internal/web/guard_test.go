package web

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/planning"
)

// slowly is a body that does not come; asked is closed when it is waited for.
type slowly struct {
	asked, over chan struct{}
	once        *sync.Once
}

func (b slowly) Read([]byte) (int, error) {
	b.once.Do(func() { close(b.asked) })
	<-b.over
	return 0, io.ErrUnexpectedEOF
}

func listFrom(address string, body io.Reader) *http.Request {
	r := httptest.NewRequest(http.MethodPost, "/list", body)
	r.RemoteAddr = address + ":5000"
	r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
	return r
}

const emptyForm = "--x\r\nContent-Disposition: form-data; name=\"text\"\r\n\r\n\r\n--x--\r\n"

// Forms that do not come hold up nobody at another address, however many they are.
func TestSlowFormsTakeNoPlaces(t *testing.T) {
	s, _ := pagesOf(planning.Plan)
	answer := func(r *http.Request) *httptest.ResponseRecorder {
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, r)
		return w
	}
	over := make(chan struct{})
	var senders sync.WaitGroup
	for i := range 3 * mostAtOnce {
		b := slowly{make(chan struct{}), over, &sync.Once{}}
		senders.Go(func() { answer(listFrom(fmt.Sprintf("192.168.7.%d", i/mostOfOne), b)) })
		<-b.asked
	}
	assert.Equal(t, http.StatusOK, answer(httptest.NewRequest(http.MethodGet, "/", nil)).Code)
	assert.Equal(t, http.StatusOK, answer(listFrom("192.168.8.1", strings.NewReader(emptyForm))).Code)
	w := answer(listFrom("192.168.7.0", strings.NewReader(emptyForm)))
	assert.Equal(t, http.StatusTooManyRequests, w.Code)
	assert.Equal(t, "5", w.Header().Get("Retry-After"))
	assert.Contains(t, w.Body.String(), "Too busy right now")
	close(over)
	senders.Wait()
}

// pipes is a listener in memory.
type pipes chan net.Conn

func (p pipes) Accept() (net.Conn, error) {
	conn, ok := <-p
	if !ok {
		return nil, net.ErrClosed
	}
	return conn, nil
}

func (p pipes) Close() error   { close(p); return nil }
func (p pipes) Addr() net.Addr { return &net.TCPAddr{} }

// A form that does not arrive in time is refused with the reason. A search may take longer than that.
func TestFormsHaveTimeToArrive(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, _ := pagesOf(nil)
		lis := make(pipes)
		served := make(chan error, 1)
		go func() { served <- s.Serve(lis) }()
		here, there := net.Pipe()
		lis <- there
		began := time.Now()
		_, err := fmt.Fprintf(here, "POST /list HTTP/1.1\r\nHost: localhost\r\nContent-Type: multipart/form-data; boundary=x\r\nContent-Length: %d\r\n\r\n--x", len(emptyForm))
		require.NoError(t, err)
		w, err := http.ReadResponse(bufio.NewReader(here), nil)
		require.NoError(t, err)
		assert.Equal(t, http.StatusRequestTimeout, w.StatusCode)
		assert.Equal(t, bodyTime, time.Since(began))
		body, err := io.ReadAll(w.Body)
		require.NoError(t, err)
		assert.Contains(t, string(body), "The page did not arrive within 20 seconds")
		require.NoError(t, s.Close(context.Background()))
		require.NoError(t, <-served)
	})
}
