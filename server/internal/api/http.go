package api

import (
	"bytes"
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"strings"
	"sync/atomic"
	"time"

	"connectrpc.com/connect"
	"connectrpc.com/vanguard"
	"google.golang.org/grpc"
	"google.golang.org/protobuf/encoding/protojson"

	openapi "kinorder.example/proto"
	"kinorder.example/server/internal/api/eventstream"
	"kinorder.example/server/internal/api/weight"
	"kinorder.example/server/internal/event"
)

// CallPaths are the paths below which an HTTP handler answers calls.
func CallPaths(calls *grpc.Server) []string {
	paths := []string{"/v1/", openAPIPath}
	for service := range calls.GetServiceInfo() {
		paths = append(paths, "/"+service+"/")
	}
	return paths
}

// HTTP returns a handler that answers the calls of a gRPC server over HTTP/1 and HTTP/2: as gRPC, gRPC-Web and Connect,
// and as JSON at the paths that the contract gives. Each becomes the same gRPC call before its body is read, so
// that secrets, limits and errors work as in gRPC.
func (s *Service) HTTP(calls *grpc.Server) (http.Handler, error) {
	limits := limitsOfJSON(calls)
	handler := readWhenWanted(calls)
	var services []*vanguard.Service
	for name := range calls.GetServiceInfo() {
		services = append(services, vanguard.NewService(name, handler))
	}
	transcoder, err := vanguard.NewTranscoder(services,
		vanguard.WithDefaultServiceOptions(vanguard.WithTargetCodecs(vanguard.CodecProto), vanguard.WithTargetProtocols(vanguard.ProtocolGRPC),
			vanguard.WithMaxMessageBufferBytes(maxArriving)),
		vanguard.WithCodec(func(types vanguard.TypeResolver) vanguard.Codec {
			return jsonCodec{vanguard.JSONCodec{
				MarshalOptions:   protojson.MarshalOptions{Resolver: types, EmitDefaultValues: true},
				UnmarshalOptions: protojson.UnmarshalOptions{Resolver: types, RecursionLimit: 2 * weight.MaxNesting},
			}, s.memory, limits}
		}),
		vanguard.WithCompression("gzip", newGzip, newBoundedGunzip),
	)
	if err != nil {
		return nil, fmt.Errorf("api: %w", err)
	}
	crossing := http.NewCrossOriginProtection() // scripts of other sites may not call with a visitor's rights
	crossing.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { refuse(w, http.StatusForbidden, errCrossed) }))
	return crossing.Handler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		// The time for a request to arrive is limited where it is read; answers may take long.
		out := http.NewResponseController(w)
		_ = out.SetReadDeadline(time.Time{}) // what cannot have one, such as a test's recorder, goes without
		_ = out.SetWriteDeadline(time.Time{})
		defer func() { _ = out.SetReadDeadline(time.Now().Add(restTime)) }()
		h := w.Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cache-Control", "no-store")
		if r.ContentLength > maxArriving {
			refuse(w, http.StatusRequestEntityTooLarge, &tooLargeError{what: "the request", size: int(r.ContentLength), limit: maxArriving})
			return
		}
		r = withLength(r)
		if r.URL.Path == openAPIPath {
			h.Set("Content-Type", "application/yaml")
			_, _ = w.Write(openapi.OpenAPI) // whoever asked has gone
			return
		}
		if r.URL.Path == importPath && r.Method == http.MethodPost {
			fileAsJSON(r)
			defer r.Body.Close() // also when nobody reads it
		}
		withVersion(r)
		if eventstream.Asked(r) {
			eventstream.Serve(handler, w, r)
			return
		}
		if kind := r.Header.Get("Content-Type"); r.ProtoMajor == 2 && (kind == "application/grpc" || kind == "application/grpc+proto") {
			handler.ServeHTTP(w, r)
			return
		}
		answer := &refusals{ResponseWriter: w, json: strings.HasPrefix(r.URL.Path, "/v1/")}
		transcoder.ServeHTTP(answer, r.WithContext(context.WithValue(r.Context(), translatedKey{}, answer)))
	})), nil
}

// withVersion gives a Connect call of one request and one answer the version of the protocol: clients may leave it out, as
// those written by hand do, and the transcoder takes such a call for one by path. Streams have a type of their own.
func withVersion(r *http.Request) {
	kind, _, _ := strings.Cut(r.Header.Get("Content-Type"), ";")
	unary := kind == "application/json" || kind == "application/proto"
	if r.Method == http.MethodPost && unary && !strings.HasPrefix(r.URL.Path, "/v1/") && len(r.Header["Connect-Protocol-Version"]) == 0 {
		r.Header.Set("Connect-Protocol-Version", "1")
	}
}

// restTime is how long the rest of a request may take to arrive after the answer.
const restTime = 5 * time.Second

// openAPIPath is where the contract is as OpenAPI.
const openAPIPath = "/openapi.yaml"

// importPath is where files are read as they are.
const importPath = "/v1/events:import"

// fileAsJSON wraps a request that is a plain file into JSON while it arrives. It leaves JSON alone, and compressed
// requests, since it cannot look into them.
func fileAsJSON(r *http.Request) {
	kind, _, _ := strings.Cut(r.Header.Get("Content-Type"), ";")
	if strings.TrimSpace(kind) == "application/json" || r.Header.Get("Content-Encoding") != "" {
		return
	}
	var head strings.Builder
	head.WriteByte('{')
	query := r.URL.Query()
	for _, field := range []string{"format", "table"} {
		if value := query.Get(field); value != "" {
			fmt.Fprintf(&head, "%q:%q,", field, value) // values that are not in the contract are refused later
			query.Del(field)
		}
	}
	head.WriteString(`"content":"`)
	body := r.Body
	in, out := io.Pipe()
	go func() {
		_, err := io.WriteString(out, head.String())
		if err == nil {
			text := base64.NewEncoder(base64.StdEncoding, out)
			_, err = io.Copy(text, body)
			err = errors.Join(err, text.Close())
		}
		if err == nil {
			_, err = io.WriteString(out, `"}`)
		}
		_ = out.CloseWithError(err)
	}()
	r.Body, r.ContentLength, r.URL.RawQuery = in, -1, query.Encode()
	r.Header.Set("Content-Type", "application/json")
	r.Header.Del("Content-Length")
}

// refusals turns refusals that come before a call exists into a JSON status: plain texts, and at the paths of the
// contract everything without a reason.
type refusals struct {
	http.ResponseWriter
	json  bool        // the call is one by a path
	begun atomic.Bool // there is an answer, so that nothing is wrong with the request
	code  int         // of a refusal that is held until it is seen whether it has a reason
	done  bool        // the answer is written, and what follows of the other is not
}

// Unwrap is for http.ResponseController.
func (r *refusals) Unwrap() http.ResponseWriter { return r.ResponseWriter }

// WriteHeader implements http.ResponseWriter.
func (r *refusals) WriteHeader(code int) {
	switch text := strings.HasPrefix(r.Header().Get("Content-Type"), "text/plain"); {
	case text:
		r.replace(code, nil)
	case r.json && code >= http.StatusBadRequest:
		r.code = code
	default:
		r.ResponseWriter.WriteHeader(code)
	}
}

// Write implements http.ResponseWriter. A status comes in one piece.
func (r *refusals) Write(b []byte) (int, error) {
	if code := r.code; code != 0 {
		r.code = 0
		if bytes.Contains(b, []byte(errorDomain)) {
			r.ResponseWriter.WriteHeader(code)
		} else {
			r.replace(code, b)
		}
	}
	if r.done {
		return len(b), nil
	}
	return r.ResponseWriter.Write(b)
}

// inQuery matches errors about fields of the query that cannot be read.
var inQuery = regexp.MustCompile(`invalid parameter \\"([a-z_.]+)\\"(?: value for type \\"(\w+)\\")?`)

// queryFault names a field of the query, and quotes nothing of what it holds.
func queryFault(said []byte) error {
	m := inQuery.FindSubmatch(said)
	if m == nil {
		return errQuery
	}
	field, what := string(m[1]), "what /openapi.yaml says"
	if field == "budget" || field == "available" {
		what = `a length of time in seconds, such as "30s" or "0.5s"`
	} else if kind := string(m[2]); strings.HasPrefix(kind, "int") {
		what = "a whole number"
	} else if kind == "bool" {
		what = "true or false"
	}
	return invalidRequest(field, event.CodeUnknownValue, "cannot be read in the query: write "+what)
}

func (r *refusals) replace(code int, said []byte) {
	r.done = true
	switch code {
	case http.StatusNotFound, http.StatusMethodNotAllowed:
		refuse(r.ResponseWriter, code, unknownMethodError{})
	case http.StatusUnsupportedMediaType:
		refuse(r.ResponseWriter, code, weight.ErrMalformed)
	case http.StatusTooManyRequests, http.StatusRequestEntityTooLarge:
		what := "the request"
		if r.begun.Load() {
			what = "the answer"
		}
		refuse(r.ResponseWriter, code, &tooLargeError{what: what, limit: maxArriving})
	default: // such as a query that fits no request
		refuse(r.ResponseWriter, http.StatusBadRequest, queryFault(said))
	}
}

// refuse answers with the status of an error.
func refuse(w http.ResponseWriter, code int, err error) {
	content, _ := protojson.Marshal(statusOf(err).Proto()) // which is made of strings
	w.Header().Del("Content-Length")
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	_, _ = w.Write(content) // whoever asked has gone
}

// asConnect is an error that becomes its status in every protocol.
func asConnect(err error) error {
	st := statusOf(err)
	out := connect.NewError(connect.Code(st.Code()), errors.New(st.Message()))
	for _, d := range st.Proto().GetDetails() {
		if detail, err := connect.NewErrorDetail(d); err == nil {
			out.AddDetail(detail)
		}
	}
	return out
}
