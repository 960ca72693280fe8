// Package eventstream answers Runs.WatchRun as server-sent events (WHATWG HTML, section 9.2), for programs that read
// lines and no protocol:
//
//	curl -N -H "Authorization: Bearer $KINORDER_SECRET" http://127.0.0.1:7466/v1/events/ines-noor/runs/RUN:watch
//
// Each update is an event whose data is a RunUpdate as JSON and whose id is its sequence: a browser or a program that
// comes back with the last one in Last-Event-ID misses nothing. A stream that ends with an error ends with an event
// "status", whose data is a google.rpc.Status; what is refused before it has begun is an ordinary answer.
package eventstream

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"strconv"
	"strings"

	"google.golang.org/genproto/googleapis/rpc/status"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

var path = regexp.MustCompile(`^/v1/(events/[^/:]+/runs/[^/:]+):watch$`)

// Asked says whether a request is one for a stream of events.
func Asked(r *http.Request) bool { return r.Method == http.MethodGet && path.MatchString(r.URL.Path) }

// Serve answers a request that Asked is true of by the call WatchRun of a handler of gRPC, so that secrets and limits work
// as there. A sequence that is no number is passed on as -1, which the call refuses by its name.
func Serve(calls http.Handler, w http.ResponseWriter, r *http.Request) {
	after := r.Header.Get("Last-Event-ID")
	if after == "" {
		after = r.URL.Query().Get("after_sequence")
	}
	watch := &kinorderv1.WatchRunRequest{Name: path.FindStringSubmatch(r.URL.Path)[1]}
	if after != "" {
		n, err := strconv.ParseInt(after, 10, 64)
		if err != nil {
			n = -1
		}
		watch.AfterSequence = n
	}
	content, _ := proto.Marshal(watch) // which is made of strings that are UTF-8, or the call refuses them
	call := r.Clone(r.Context())
	call.Method, call.Proto, call.ProtoMajor, call.ProtoMinor = http.MethodPost, "HTTP/2.0", 2, 0
	call.URL.Path, call.URL.RawQuery = kinorderv1.Runs_WatchRun_FullMethodName, ""
	call.Header.Set("Content-Type", "application/grpc+proto")
	call.Header.Set("Te", "trailers")
	call.Header.Del("Content-Length")
	for _, name := range []string{"Grpc-Encoding", "Grpc-Accept-Encoding", "Accept-Encoding"} {
		call.Header.Del(name)
	}
	framed := append(binary.BigEndian.AppendUint32([]byte{0}, uint32(len(content))), content...)
	call.Body, call.ContentLength = io.NopCloser(bytes.NewReader(framed)), int64(len(framed))
	out := &stream{to: w, head: make(http.Header)}
	calls.ServeHTTP(out, call)
	out.end()
}

// A stream takes the answer of a gRPC call and writes it as events.
type stream struct {
	to      http.ResponseWriter
	head    http.Header // of the call, with its status in the end
	waiting []byte      // part of a message that has not come whole
	begun   bool
}

// Header implements http.ResponseWriter.
func (s *stream) Header() http.Header { return s.head }

// WriteHeader implements http.ResponseWriter. How a gRPC call went stands in its trailers.
func (s *stream) WriteHeader(int) {}

// Unwrap is for http.ResponseController.
func (s *stream) Unwrap() http.ResponseWriter { return s.to }

// Flush implements http.Flusher, which gRPC wants, also before it says that a call is refused.
func (s *stream) Flush() {
	if s.begun {
		_ = http.NewResponseController(s.to).Flush()
	}
}

// Write implements http.ResponseWriter.
func (s *stream) Write(b []byte) (int, error) {
	s.waiting = append(s.waiting, b...)
	for len(s.waiting) >= 5 {
		size := int(binary.BigEndian.Uint32(s.waiting[1:5]))
		if len(s.waiting) < 5+size {
			break
		}
		var update kinorderv1.RunUpdate
		if err := proto.Unmarshal(s.waiting[5:5+size], &update); err != nil {
			return 0, fmt.Errorf("eventstream: %w", err)
		}
		s.waiting = s.waiting[5+size:]
		if err := s.event("id: "+strconv.FormatInt(update.GetSequence(), 10), &update); err != nil {
			return 0, err
		}
	}
	return len(b), nil
}

func (s *stream) event(head string, m proto.Message) error {
	if !s.begun {
		s.begun = true
		s.to.Header().Set("Content-Type", "text/event-stream")
		s.to.Header().Set("X-Accel-Buffering", "no") // proxies would gather events
	}
	_, err := fmt.Fprintf(s.to, "%s\ndata: %s\n\n", head, protojson.MarshalOptions{EmitDefaultValues: true}.Format(m))
	return err
}

// end says how the call ended: to whoever has heard nothing as the status of HTTP.
func (s *stream) end() {
	code, _ := strconv.Atoi(s.head.Get("Grpc-Status"))
	if codes.Code(code) == codes.OK {
		return
	}
	st := &status.Status{Code: int32(code), Message: s.head.Get("Grpc-Message")}
	if raw, err := base64.RawStdEncoding.DecodeString(strings.TrimRight(s.head.Get("Grpc-Status-Details-Bin"), "=")); err == nil && len(raw) > 0 {
		_ = proto.Unmarshal(raw, st) // what cannot be read leaves code and message
	}
	if s.begun {
		_ = s.event("event: status", st) // whoever watched has gone
		return
	}
	s.to.Header().Set("Content-Type", "application/json")
	s.to.WriteHeader(httpCode(codes.Code(code)))
	_, _ = io.WriteString(s.to, protojson.Format(st))
}

// httpCode is how google.rpc.Code says that codes are said over HTTP.
func httpCode(c codes.Code) int {
	switch c {
	case codes.InvalidArgument, codes.FailedPrecondition, codes.OutOfRange:
		return http.StatusBadRequest
	case codes.Unauthenticated:
		return http.StatusUnauthorized
	case codes.PermissionDenied:
		return http.StatusForbidden
	case codes.NotFound:
		return http.StatusNotFound
	case codes.ResourceExhausted:
		return http.StatusTooManyRequests
	case codes.Unimplemented:
		return http.StatusNotImplemented
	case codes.Unavailable:
		return http.StatusServiceUnavailable
	case codes.DeadlineExceeded:
		return http.StatusGatewayTimeout
	default:
		return http.StatusInternalServerError
	}
}
