package browsertest

import (
	"context"
	"encoding/json"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/needs"
)

// Accessible looks at the page of a tab with axe, in these colour schemes, and fails for what WCAG 2.2 A and AA or
// axe's best practices do not allow. It needs script in the tab.
func Accessible(t *testing.T, tab context.Context, page string, schemes ...string) {
	t.Helper()
	script, err := os.ReadFile(filepath.Join(needs.Modules(t), "axe-core", "axe.min.js"))
	require.NoError(t, err)
	for _, scheme := range schemes {
		var found []string
		require.NoError(t, chromedp.Run(tab,
			emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}),
			chromedp.Evaluate(string(script)+";true", nil),
			chromedp.Evaluate(`axe.run(document, {resultTypes: ["violations"]}).then((r) => r.violations.map((v) =>
				v.id + ": " + v.nodes.map((n) => n.target.join(" ") + " " + n.failureSummary).join(" | ")))`, &found,
				func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) })), page)
		assert.Empty(t, found, "%s in %s", page, scheme)
	}
}

// Valid checks pages of HTML by their names with html-validate, all in one run.
func Valid(t *testing.T, pages map[string][]byte) {
	t.Helper()
	node, modules, dir := needs.Program(t, "node"), needs.Modules(t), t.TempDir()
	report := filepath.Join(dir, "report.json") // a pipe would be closed before a long report is through
	args := []string{filepath.Join(modules, "html-validate", "bin", "html-validate.mjs"), "--config", filepath.Join(filepath.Dir(modules), "html-validate.json"), "-f", "json=" + report}
	for _, name := range slices.Sorted(maps.Keys(pages)) {
		file := filepath.Join(dir, name+".html")
		require.NoError(t, os.WriteFile(file, pages[name], 0o600))
		args = append(args, file)
	}
	said, failed := exec.CommandContext(t.Context(), node, args...).CombinedOutput() // fails when it finds something
	out, err := os.ReadFile(report)
	require.NoError(t, err, "%s: %v", said, failed)
	var found []struct {
		FilePath string
		Messages []struct {
			RuleID, Message string
			Line            int
		}
	}
	require.NoError(t, json.Unmarshal(out, &found))
	for _, f := range found {
		for _, m := range f.Messages {
			t.Errorf("%s, line %d: %s (%s)", filepath.Base(f.FilePath), m.Line, m.Message, m.RuleID)
		}
	}
}
