package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
)

func TestOneObjectALine(t *testing.T) {
	var out, errs bytes.Buffer
	files := []string{"../../../testdata/lists/A4.json", "../../../testdata/groupings/family_12.json", "../../../testdata/blocks/tucker_V.json"}
	if code := run(files, &out, &errs); code != 0 || errs.Len() > 0 {
		t.Fatalf("code %d: %s", code, errs.String())
	}
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	if len(lines) != len(files) {
		t.Fatalf("%d lines for %d files", len(lines), len(files))
	}
	for k, want := range []struct {
		name, kind string
		cost       int64
	}{{"A4", "list", 26}, {"family_12", "grouping", 610}, {"tucker_V", "block", 5}} {
		var l line
		if err := json.Unmarshal([]byte(lines[k]), &l); err != nil {
			t.Fatal(err)
		}
		if l.Name != want.name || l.Kind != want.kind || l.Cost != want.cost || l.Bound != want.cost || !l.Proven {
			t.Errorf("%+v, want %+v", l, want)
		}
	}
}

func TestTableAndFaults(t *testing.T) {
	var out, errs bytes.Buffer
	if code := run([]string{"-table", "../../../testdata/blocks/tucker_I_1.json", "no/such.json"}, &out, &errs); code != 1 {
		t.Errorf("code %d", code)
	}
	if !strings.Contains(out.String(), "published") || !strings.Contains(out.String(), "tucker_I_1") || !strings.Contains(errs.String(), "no/such.json") {
		t.Errorf("table %q, errors %q", out.String(), errs.String())
	}
	if code := run(nil, &out, &errs); code != 2 {
		t.Errorf("no files: code %d", code)
	}
}
