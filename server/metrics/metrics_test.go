package metrics

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/common/expfmt"
	"github.com/prometheus/common/model"
)

func read(t *testing.T, m *Metrics) (text string, value func(name string) (float64, bool)) {
	t.Helper()
	w := httptest.NewRecorder()
	m.Handler().ServeHTTP(w, httptest.NewRequest("GET", "/metrics", nil))
	text = w.Body.String()
	// Prometheus's own reader of its format.
	parser := expfmt.NewTextParser(model.UTF8Validation)
	families, err := parser.TextToMetricFamilies(strings.NewReader(text))
	if err != nil {
		t.Fatalf("Prometheus cannot read this: %v\n%s", err, text)
	}
	return text, func(name string) (float64, bool) {
		f := families[name]
		if f == nil {
			return 0, false
		}
		return f.Metric[0].GetGauge().GetValue(), true
	}
}

func TestPrometheusReadsTheFiguresAsTheyAre(t *testing.T) {
	at := time.Unix(1_800_000_000, 0)
	now := Nursery{Position: 22_344, BackedUpTo: 22_000, BackedUpAt: at, Quarantined: 3, Pending: 7, Paired: 9, Connected: 2, Bytes: 12_000_000}
	m := New("b1", slog.New(slog.NewTextHandler(io.Discard, nil)), Source{Read: func(context.Context) (Nursery, error) { return now, nil }})
	_, value := read(t, m)
	for name, want := range map[string]float64{
		"bedwalk_position": 22_344, "bedwalk_backed_up_position": 22_000, "bedwalk_backup_timestamp_seconds": 1_800_000_000, "bedwalk_quarantined_notes": 3,
		"bedwalk_pending_notes": 7, "bedwalk_paired_devices": 9, "bedwalk_connected_devices": 2, "bedwalk_database_bytes": 12_000_000, "bedwalk_build_info": 1,
	} {
		if have, found := value(name); !found || have != want {
			t.Errorf("%s is %v (there: %v), not %v", name, have, found, want)
		}
	}
	now.BackedUpAt = time.Time{}
	_, value = read(t, m)
	if have, found := value("bedwalk_backup_timestamp_seconds"); found {
		t.Errorf("a backup that was never made is of %v", have)
	}
}

func TestWhatCannotBeReadIsLeftOutAndLogged(t *testing.T) {
	var log strings.Builder
	m := New("b1", slog.New(slog.NewTextHandler(&log, nil)), Source{Read: func(context.Context) (Nursery, error) { return Nursery{}, errors.New("disk is gone") }})
	if _, value := read(t, m); !strings.Contains(log.String(), "disk is gone") {
		t.Errorf("the log says %q", log.String())
	} else if _, found := value("bedwalk_position"); found {
		t.Error("a position that nobody knows is given")
	}
}

func TestRequestsOfStrangersMakeNoNewFigure(t *testing.T) {
	m := New("b1", slog.New(slog.NewTextHandler(io.Discard, nil)), Source{Read: func(context.Context) (Nursery, error) { return Nursery{}, nil }})
	for _, method := range []string{"GET", "BREW", "WHEN"} {
		m.Observe(method, "", 404, time.Millisecond)
	}
	m.Observe("POST", "/api/push", 200, 30*time.Millisecond)
	text, _ := read(t, m)
	for _, want := range []string{
		`bedwalk_request_seconds_count{method="other",route="",status="404"} 2`, `bedwalk_request_seconds_bucket{method="POST",route="/api/push",status="200",le="0.1"} 1`,
		`bedwalk_request_seconds_bucket{method="POST",route="/api/push",status="200",le="0.02"} 0`,
	} {
		if !strings.Contains(text, want) {
			t.Errorf("no line %s in\n%s", want, text)
		}
	}
}
