package api

import (
	"context"
	"io"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"google.golang.org/grpc"
)

// body is the body of a call over HTTP. gRPC would read it as soon as the call begins, in a separate goroutine; this
// one is read only once the call has been let in and there is room for it. So a refused caller costs nothing, and
// errors about the body are written while nobody else is writing.
type body struct {
	io.ReadCloser
	wanted, over chan struct{}
	want, end    sync.Once
	done         atomic.Bool // it has been read to its end
	out          *http.ResponseController
}

type bodyKey struct{}

// wantBody lets the body of a call be read, if it is one over HTTP.
func wantBody(ctx context.Context) {
	if b, ok := ctx.Value(bodyKey{}).(*body); ok {
		b.want.Do(func() {
			_ = b.out.SetReadDeadline(time.Time{})
			close(b.wanted)
		})
	}
}

// lengthKey is for the Content-Length of a call over HTTP, if it has one.
type lengthKey struct{}

// perByte is how much memory each byte of a body takes while it arrives, in any protocol.
const perByte = 6

// withLength remembers the length of a body that is not compressed.
func withLength(r *http.Request) *http.Request {
	for _, packed := range []string{"Content-Encoding", "Connect-Content-Encoding", "Grpc-Encoding"} {
		if r.Header.Get(packed) != "" {
			return r
		}
	}
	if r.ContentLength < 0 {
		return r
	}
	return r.WithContext(context.WithValue(r.Context(), lengthKey{}, r.ContentLength))
}

// Read implements io.Reader.
func (b *body) Read(into []byte) (int, error) {
	select {
	case <-b.wanted:
		n, err := b.ReadCloser.Read(into)
		if err != nil {
			b.done.Store(true)
		}
		return n, err
	case <-b.over:
		return 0, io.EOF
	}
}

// Close implements io.Closer. It does not wait for the rest of the body: the server discards that itself once the
// answer is sent.
func (b *body) Close() error {
	b.end.Do(func() { close(b.over) })
	select {
	case <-b.wanted:
	default:
		return nil
	}
	if !b.done.Load() {
		_ = b.out.SetReadDeadline(time.Now()) // ends a read that is still going on
	}
	return b.ReadCloser.Close()
}

// readWhenWanted serves gRPC over HTTP with bodies that wait.
func readWhenWanted(calls *grpc.Server) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix(r.URL.Path, "/grpc.reflection.") { // not one of ours: it reads by itself
			calls.ServeHTTP(w, r)
			return
		}
		b := &body{ReadCloser: r.Body, wanted: make(chan struct{}), over: make(chan struct{}), out: http.NewResponseController(w)}
		if r.ContentLength != 0 { // net/http takes what has not come before it sends an answer
			_ = b.out.SetReadDeadline(time.Now().Add(restTime))
		}
		r = r.WithContext(context.WithValue(r.Context(), bodyKey{}, b))
		r.Body = b
		calls.ServeHTTP(w, r)
	})
}
