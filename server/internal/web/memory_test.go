package web

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"log/slog"
	"mime/multipart"
	"net"
	"net/http"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/hostile"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/peak"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/weigh"
)

// TestServeForMemory is the server that is measured.
func TestServeForMemory(t *testing.T) {
	peak.Serve(t, func() string {
		s := New(Options{Plan: planning.Plan, Gate: gate.New(2, 8), Memory: gate.NewMemory(), Workers: 1, Log: slog.New(slog.DiscardHandler)})
		lis, err := net.Listen("tcp", "127.0.0.1:0")
		require.NoError(t, err)
		go func() { _ = s.Serve(lis) }() // ends with the process
		return lis.Addr().String()
	}, func(string) string { return "" })
}

// list is JSON with a long list in it. Its elements are null: each leaves its place behind.
type list struct {
	field, before, after string
	n                    int
}

func (l list) String() string {
	return l.before + "[" + strings.Repeat("null,", l.n-1) + "null]" + l.after
}

// lists are those of a field of the form, each with as many elements as it may have.
func lists(field string, root any) []list {
	var out []list
	var walk func(t reflect.Type, before, after string)
	walk = func(t reflect.Type, before, after string) {
		for t.Kind() == reflect.Pointer {
			t = t.Elem()
		}
		switch {
		case strings.Count(before, "List") > 1: // a message is made of messages
		case t.Kind() == reflect.Slice:
			l := list{field, before, after, 1000}
			weight, err := weigh.JSON([]byte(l.String()), root, maxPlan)
			if err != nil {
				panic(err)
			}
			l.n = min(maxPlan/(weight/1000+1), (fields.MaxBytes-4096)/len("null,"))
			out = append(out, l)
			walk(t.Elem(), before+"[", "]"+after)
		case t.Kind() == reflect.Struct:
			for _, f := range reflect.VisibleFields(t) {
				if f.IsExported() {
					walk(f.Type, before+fmt.Sprintf("{%q:", f.Name), "}"+after)
				}
			}
		}
	}
	walk(reflect.TypeOf(root), "", "")
	return out
}

// measured are the pages, served in a process of their own.
type measured struct {
	*peak.Process
	of string // what the plan in a form says that it was made of
}

func measure(t testing.TB) measured {
	read, err := draft{text: small}.read(t.Context())
	require.NoError(t, err)
	of := fingerprintOf(read.event)
	return measured{peak.Start(t, "TestServeForMemory"), fmt.Sprintf("\"Of\":%q,\"Made\":%q", of.Of, of.Made)}
}

// form is a form that carries a list and is otherwise in order.
func (p measured) form(l list) map[string]string {
	own := "{" + p.of + ","
	form := map[string]string{"text": small, "act": "up:x", "hand": own + `"Locked":[]}`, "sheet": "{}"}
	form[l.field] = l.String()
	if l.field == "hand" {
		form["hand"] = own + strings.TrimPrefix(form["hand"], "{")
	}
	return form
}

// take sends a form so many times at once and returns the most memory that the server took, and the codes.
func (p measured) take(t testing.TB, path string, fields map[string]string, times int) (int, []int) {
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for name, value := range fields {
		create := w.CreateFormField
		if name == "file" {
			create = func(name string) (io.Writer, error) { return w.CreateFormFile(name, "list") }
		}
		part, err := create(name)
		require.NoError(t, err)
		_, err = io.WriteString(part, value)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	codes := make([]int, times)
	took := p.During(t, func() {
		var all sync.WaitGroup
		for i := range times {
			all.Go(func() {
				answer, err := http.Post("http://"+p.Hello+path, w.FormDataContentType(), bytes.NewReader(body.Bytes()))
				if err != nil {
					return // refused before all of it was sent
				}
				codes[i] = answer.StatusCode
				_, _ = io.Copy(io.Discard, answer.Body)
				_ = answer.Body.Close()
			})
		}
		all.Wait()
	})
	return took, codes
}

// Whatever a form is made of, it takes no more memory than is stated, and eight at once take no more than that.
func TestMemoryOfForms(t *testing.T) {
	p := measure(t)
	quotes := strings.Repeat("\"", fields.MaxBytes-4096)
	worst := append(lists("sheet", event.CallSheet{}), lists("hand", handState{})...)
	slices.SortFunc(worst, func(a, b list) int { return cmp.Compare(a.n, b.n) })
	both := p.form(worst[0])
	i := slices.IndexFunc(worst, func(l list) bool { return l.field != worst[0].field })
	both[worst[i].field] = p.form(worst[i])[worst[i].field]
	for name, form := range map[string]map[string]string{
		"few that are large":  p.form(worst[0]),
		"many that are small": p.form(worst[len(worst)-1]),
		"both of them":        both,
		"a list of no use":    {"text": quotes},
		"carried on":          {"text": "people:", "sheet": quotes[:3<<20], "hand": "{}"},
		"too much to escape":  {"text": "people:", "sheet": quotes, "hand": "{}"},
		"many fields":         manyFields(fields.MaxFields - 1),
		"an upload":           {"file": "people: [" + strings.Repeat("q,", intake.MaxContent/3) + "]"},
		"plus ones":           {"text": shape("plus ones")},
		"names with commas":   {"text": shape("names with commas")},
		"a million empty":     {"text": small, "act": "up:x", "hand": "{" + p.of + "}", "sheet": `{"Blocks":[{"Entries":[` + strings.Repeat("{},", 1_000_000) + `{}]}]}`},
	} {
		took, _ := p.take(t, "/plan", form, 1)
		assert.Less(t, took, peak.One, name)
		if peak.Heavy(took) {
			took, _ = p.take(t, "/plan", form, 8)
			assert.Less(t, took, peak.Eight, "eight times "+name)
		}
	}
}

// shape is a hostile list in full length.
func shape(name string) string {
	i := slices.IndexFunc(hostile.Lists(), func(s hostile.Shape) bool { return s.Name == name })
	return hostile.Lists()[i].Make(250 << 10)
}

func manyFields(n int) map[string]string {
	out := map[string]string{"text": small}
	for i := range n {
		out[fmt.Sprintf("place.%d", i)] = strings.Repeat("x", 350)
	}
	return out
}

// BenchmarkMemoryOfForms prints the most memory of each list in a form:
// go test ./server/internal/web -run - -bench Memory -benchtime 1x
func BenchmarkMemoryOfForms(b *testing.B) {
	p := measure(b)
	for _, l := range append(lists("sheet", event.CallSheet{}), lists("hand", handState{})...) {
		b.Run(l.field+l.before, func(b *testing.B) {
			most := 0
			for b.Loop() {
				took, _ := p.take(b, "/plan", p.form(l), 1)
				most = max(most, took)
			}
			b.ReportMetric(float64(most)/(1<<20), "MiB-peak")
		})
	}
}
