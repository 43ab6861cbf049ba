// Package metrics gives a running server's figures in the text format that Prometheus reads (its exposition format 0.0.4). They are
// served at an address of their own, for the operator alone: how many phones a nursery has is nobody else's business. No figure
// names a person, a bed or a device. The central function is New.
package metrics

import (
	"context"
	"log/slog"
	"net/http"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// Nursery is what the figures are of, read when somebody asks for them.
type Nursery struct {
	// Position is that of the last merged note, BackedUpTo that of the last one that a backup covers, made at BackedUpAt (zero: never).
	Position, BackedUpTo int64
	BackedUpAt           time.Time
	// Quarantined notes wait for a decision, Pending ones wait on phones, as those last said.
	Quarantined, Pending int
	// Paired devices, and how many of them are connected now.
	Paired, Connected int
	// Bytes are those of the database and its log.
	Bytes int64
}

// Metrics are the figures of one server.
type Metrics struct {
	registry *prometheus.Registry
	requests *prometheus.HistogramVec
	log      *slog.Logger
}

// Source is a nursery whose figures are read. Name tells several apart, as the label "nursery"; it is "" where a server has one.
type Source struct {
	Name string
	Read func(context.Context) (Nursery, error)
}

// New makes the figures of a server. What cannot be read of a nursery is left out of that answer and logged.
func New(build string, log *slog.Logger, of ...Source) *Metrics {
	m := &Metrics{
		registry: prometheus.NewRegistry(), log: log,
		requests: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "bedwalk_request_seconds", Help: "Requests by method, route and status, with their time in seconds.",
			Buckets: []float64{.005, .02, .1, .5, 2, 10, 60},
		}, []string{"method", "route", "status"}),
	}
	built := prometheus.NewGaugeFunc(prometheus.GaugeOpts{
		Name: "bedwalk_build_info", Help: "Always 1; the label says what this program was built from.", ConstLabels: prometheus.Labels{"build": build},
	}, func() float64 { return 1 })
	m.registry.MustRegister(m.requests, built, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	for _, one := range of {
		m.Add(one)
	}
	return m
}

// Add adds a nursery, of a name that no other has.
func (m *Metrics) Add(one Source) {
	to, log := prometheus.Registerer(m.registry), m.log
	if one.Name != "" {
		to, log = prometheus.WrapRegistererWith(prometheus.Labels{"nursery": one.Name}, to), log.With("nursery", one.Name)
	}
	to.MustRegister(nursery{one.Read, log})
}

// Observe counts a request. Its route is one of the server's own, "" for an address that leads nowhere, so what strangers ask for
// makes no figure of its own; a method that no route has is counted as "other" for the same reason.
func (m *Metrics) Observe(method, route string, status int, took time.Duration) {
	switch method {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPatch, http.MethodPut, http.MethodDelete, http.MethodOptions:
	default:
		method = "other"
	}
	m.requests.WithLabelValues(method, route, strconv.Itoa(status)).Observe(took.Seconds())
}

// Handler answers with all figures.
func (m *Metrics) Handler() http.Handler {
	return promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{})
}

// nursery collects what stands in the data.
type nursery struct {
	read func(context.Context) (Nursery, error)
	log  *slog.Logger
}

var gauges = []struct {
	describe *prometheus.Desc
	of       func(Nursery) (value float64, known bool)
}{
	{desc("bedwalk_position", "Position of the last merged note."), count(func(n Nursery) int64 { return n.Position })},
	{desc("bedwalk_backed_up_position", "Position up to which a backup covers the notes."), count(func(n Nursery) int64 { return n.BackedUpTo })},
	{desc("bedwalk_backup_timestamp_seconds", "When the last backup was made, in seconds since 1970; absent before the first."), func(n Nursery) (float64, bool) {
		return float64(n.BackedUpAt.Unix()), !n.BackedUpAt.IsZero()
	}},
	{desc("bedwalk_quarantined_notes", "Notes that wait for a decision."), count(func(n Nursery) int64 { return int64(n.Quarantined) })},
	{desc("bedwalk_pending_notes", "Notes that wait on phones, as these last said."), count(func(n Nursery) int64 { return int64(n.Pending) })},
	{desc("bedwalk_paired_devices", "Devices that may come in."), count(func(n Nursery) int64 { return int64(n.Paired) })},
	{desc("bedwalk_connected_devices", "Devices that are connected now."), count(func(n Nursery) int64 { return int64(n.Connected) })},
	{desc("bedwalk_database_bytes", "Bytes of the database and its log."), count(func(n Nursery) int64 { return n.Bytes })},
}

func desc(name, help string) *prometheus.Desc { return prometheus.NewDesc(name, help, nil, nil) }

func count(of func(Nursery) int64) func(Nursery) (float64, bool) {
	return func(n Nursery) (float64, bool) { return float64(of(n)), true }
}

func (n nursery) Describe(all chan<- *prometheus.Desc) {
	for _, gauge := range gauges {
		all <- gauge.describe
	}
}

// patience is how long the data is waited for; whoever asks for figures asks again.
const patience = 5 * time.Second

func (n nursery) Collect(all chan<- prometheus.Metric) {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	now, err := n.read(ctx)
	if err != nil {
		n.log.Warn("the figures of the data could not be read", "error", err)
		return
	}
	for _, gauge := range gauges {
		if value, known := gauge.of(now); known {
			all <- prometheus.MustNewConstMetric(gauge.describe, prometheus.GaugeValue, value)
		}
	}
}
