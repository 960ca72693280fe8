// Package metrics counts what a server does, for Prometheus. Labels are methods, codes and reasons of the contract:
// none says who asked or what about.
package metrics

import (
	"net/http"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// Metrics are those of one server. Its methods are safe for use by several goroutines; those of nil do nothing.
type Metrics struct {
	registry *prometheus.Registry
	calls    *prometheus.CounterVec
	seconds  *prometheus.HistogramVec
	searches *prometheus.HistogramVec
	marks    prometheus.Counter
}

// New returns metrics with those of the process.
func New() *Metrics {
	m := &Metrics{
		registry: prometheus.NewRegistry(),
		calls: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "kinorder_calls_total", Help: "Calls answered, by method, gRPC code and reason of the error.",
		}, []string{"method", "code", "reason"}),
		seconds: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "kinorder_call_seconds", Help: "How long calls took; those that watch a run last as long as they are watched.",
			Buckets: []float64{.005, .025, .1, .5, 1, 2.5, 5, 10, 30, 60, 300},
		}, []string{"method"}),
		searches: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "kinorder_search_seconds", Help: "How long searches took once they had a place, by kind (plan, replan) and how they ended: proven best, found, or none.",
			Buckets: []float64{.01, .05, .1, .3, 1, 2, 5, 10, 30, 60, 600},
		}, []string{"kind", "end"}),
		marks: prometheus.NewCounter(prometheus.CounterOpts{Name: "kinorder_marks_total", Help: "Marks of runs that arrived by calls and were kept."}),
	}
	m.registry.MustRegister(m.calls, m.seconds, m.searches, m.marks, collectors.NewGoCollector(),
		collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// Call counts a call.
func (m *Metrics) Call(method, code, reason string, took time.Duration) {
	if m == nil {
		return
	}
	m.calls.WithLabelValues(method, code, reason).Inc()
	m.seconds.WithLabelValues(method).Observe(took.Seconds())
}

// Search counts a search.
func (m *Metrics) Search(kind, end string, took time.Duration) {
	if m != nil {
		m.searches.WithLabelValues(kind, end).Observe(took.Seconds())
	}
}

// Marks counts marks that were kept.
func (m *Metrics) Marks(n int) {
	if m != nil {
		m.marks.Add(float64(n))
	}
}

// Gauge has a value read whenever somebody asks.
func (m *Metrics) Gauge(name, help string, value func() int) {
	m.registry.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: name, Help: help}, func() float64 { return float64(value()) }))
}

// Handler answers with all of them.
func (m *Metrics) Handler() http.Handler {
	return promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{DisableCompression: true})
}
