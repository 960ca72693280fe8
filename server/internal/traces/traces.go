// Package traces tells a collector, by OTLP, which calls were answered and which searches they waited for. What it says is
// methods, codes and reasons of the contract and counts: never a name, an id or a note.
package traces

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/url"
	"strings"
	"time"

	"go.opentelemetry.io/otel"
	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/codes"
	"go.opentelemetry.io/otel/exporters/otlp/otlptrace/otlptracehttp"
	"go.opentelemetry.io/otel/propagation"
	"go.opentelemetry.io/otel/sdk/resource"
	sdk "go.opentelemetry.io/otel/sdk/trace"
	"go.opentelemetry.io/otel/trace"
	"google.golang.org/grpc/metadata"
)

// Traces are those of one server. Its methods are safe for use by several goroutines; those of nil do nothing.
type Traces struct {
	provider *sdk.TracerProvider
	tracer   trace.Tracer
}

// New sends traces to the collector at an address, such as http://127.0.0.1:4318, from time to time. It does not wait for
// the collector, and what does not arrive is lost; log hears of that. The variables OTEL_SERVICE_NAME, OTEL_RESOURCE_ATTRIBUTES,
// OTEL_TRACES_SAMPLER and OTEL_EXPORTER_OTLP_HEADERS say what they say everywhere.
func New(ctx context.Context, address string, log *slog.Logger) (*Traces, error) {
	to, err := url.Parse(address)
	if err != nil || to.Host == "" || to.Scheme != "http" && to.Scheme != "https" {
		return nil, errors.New("traces: the address of the collector is none: write it as http://127.0.0.1:4318")
	}
	if strings.Trim(to.Path, "/") == "" {
		to.Path = "/v1/traces" // where every collector takes them
	}
	out, err := otlptracehttp.New(ctx, otlptracehttp.WithEndpointURL(to.String()))
	if err != nil {
		return nil, fmt.Errorf("traces: %w", err)
	}
	from, err := resource.New(ctx, resource.WithAttributes(attribute.String("service.name", "kinorder")), resource.WithFromEnv(), resource.WithTelemetrySDK())
	if err != nil {
		return nil, fmt.Errorf("traces: %w", err)
	}
	// There is one for the process; without it lines of another form get into the log.
	otel.SetErrorHandler(otel.ErrorHandlerFunc(func(error) { log.Warn("traces do not arrive at their collector") }))
	p := sdk.NewTracerProvider(sdk.WithBatcher(out, sdk.WithBatchTimeout(2*time.Second)), sdk.WithResource(from))
	return &Traces{p, p.Tracer("kinorder")}, nil
}

// Close sends what is left.
func (t *Traces) Close(ctx context.Context) error {
	if t == nil {
		return nil
	}
	return t.provider.Shutdown(ctx)
}

// carrier reads where a trace comes from out of the headers of a call.
type carrier metadata.MD

// Get implements propagation.TextMapCarrier.
func (c carrier) Get(key string) string {
	if values := metadata.MD(c).Get(key); len(values) > 0 {
		return values[0]
	}
	return ""
}

// Set implements propagation.TextMapCarrier; nothing is written.
func (carrier) Set(string, string) {}

// Keys implements propagation.TextMapCarrier.
func (c carrier) Keys() []string { return nil }

// Call begins to trace a call, as part of the caller's trace when it has one.
func (t *Traces) Call(ctx context.Context, method string) (context.Context, Span) {
	if t == nil {
		return ctx, Span{}
	}
	headers, _ := metadata.FromIncomingContext(ctx)
	ctx = propagation.TraceContext{}.Extract(ctx, carrier(headers))
	ctx, span := t.tracer.Start(ctx, method, trace.WithSpanKind(trace.SpanKindServer), trace.WithAttributes(attribute.String("rpc.system.name", "grpc")))
	return ctx, Span{span}
}

// Search begins to trace a search, once it has a place.
func (t *Traces) Search(ctx context.Context, kind string, people, photographs int) (context.Context, Span) {
	if t == nil {
		return ctx, Span{}
	}
	ctx, span := t.tracer.Start(ctx, kind, trace.WithAttributes(attribute.Int("people", people), attribute.Int("photographs", photographs)))
	return ctx, Span{span}
}

// Span is what is traced; the zero value is nothing.
type Span struct{ span trace.Span }

// EndCall ends a call with its code and the reason of its error, empty for none. A method that there is not is called
// unknown: anybody could make up as many as they like.
func (s Span) EndCall(method, code, reason string, failed bool) {
	if s.span == nil {
		return
	}
	s.span.SetName(method)
	s.span.SetAttributes(attribute.String("rpc.response.status_code", code))
	if reason != "" {
		s.span.SetAttributes(attribute.String("error.type", reason))
	}
	if failed {
		s.span.SetStatus(codes.Error, "")
	}
	s.span.End()
}

// EndSearch ends a search with a word for how it ended.
func (s Span) EndSearch(end string) {
	if s.span == nil {
		return
	}
	s.span.SetAttributes(attribute.String("end", end))
	s.span.End()
}
