package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every sheet comes in its usual form, and the ending of the file decides over that.
func TestPlanSheets(t *testing.T) {
	path := file(t, "small.yaml", small)
	for kind, want := range map[string]string{
		"call": "Small\n", "reader": "<!DOCTYPE html>", "finder": "<!DOCTYPE html>", "cards": "<!DOCTYPE html>",
		"chart": "<!DOCTYPE html>", "times": "To: ",
	} {
		got := run(t, &Program{}, "plan", path, "--sheet", kind)
		require.Equal(t, exitDone, got.code, got.stderr)
		assert.Contains(t, got.stdout, want, kind)
		assert.NotContains(t, got.stdout, note, kind)
	}
	for name, want := range map[string]string{"s.csv": "\ufeffName,", "s.txt": "To: ", "s.CSV": "\ufeffName,"} {
		out := filepath.Join(t.TempDir(), name)
		got := run(t, &Program{}, "plan", path, "--sheet", "times", "-o", out)
		require.Equal(t, exitDone, got.code, got.stderr)
		content, err := os.ReadFile(out)
		require.NoError(t, err)
		assert.True(t, strings.HasPrefix(string(content), want), name)
	}
	for arguments, want := range map[string]string{
		"--sheet cards --format csv":            "ask for HTML",
		"--sheet times --format html":           "ask for text, CSV or iCalendar",
		"--format ics":                          "A calendar needs clock times",
		"--language e":                          "The language cannot be read",
		"--sheet reader --format json":          "only the whole call sheet",
		"--sheet poster":                        "must be one of call, reader, finder, cards, times, chart",
		"--paper a5":                            "must be one of a4, letter",
		"--sheet times --per side --format csv": "must be one of person, circle",
	} {
		got := run(t, &Program{}, append([]string{"plan", path}, strings.Fields(arguments)...)...)
		assert.Equal(t, exitInvalid, got.code, arguments)
		assert.Contains(t, got.stderr, want, arguments)
	}
}

// All sheets are of one plan: the mark of its order is the same on each.
func TestAllSheets(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "papers")
	got := run(t, &Program{}, "plan", file(t, "small.yaml", small), "--sheet", "all", "--format", "html", "-o", folder)
	require.Equal(t, exitDone, got.code, got.stderr)
	files, err := filepath.Glob(filepath.Join(folder, "small-*"))
	require.NoError(t, err)
	assert.Len(t, files, 8)
	marks := map[string]int{}
	for _, name := range files {
		content, err := os.ReadFile(name)
		require.NoError(t, err)
		assert.NotContains(t, string(content), note, name)
		if mark := regexp.MustCompile(`Order [0-9A-Z]{4}`).Find(content); mark != nil {
			marks[string(mark)]++
		}
	}
	assert.Len(t, marks, 1, marks)
	for _, arguments := range []string{"--sheet all", "--sheet all --format csv -o " + folder} {
		assert.Equal(t, exitInvalid, run(t, &Program{}, append([]string{"plan", file(t, "small.yaml", small)}, strings.Fields(arguments)...)...).code, arguments)
	}
}

func TestPlanLanguage(t *testing.T) {
	path := file(t, "small.yaml", small)
	french := run(t, &Program{}, "plan", path, "--language", "fr-CA")
	require.Equal(t, exitDone, french.code)
	assert.Contains(t, french.stdout, "Fini pour")
	assert.Empty(t, french.stderr)
	other := run(t, &Program{}, "plan", path, "--language", "sv")
	require.Equal(t, exitDone, other.code)
	assert.Contains(t, other.stdout, "Free to go")
	assert.Equal(t, "kinorder: there are no labels in sv: they are drawn in en\n", other.stderr)
}

// Without a browser the program says what to do, before it plans.
func TestPDFWithoutBrowser(t *testing.T) {
	installed := browsers
	t.Cleanup(func() { browsers = installed })
	browsers = slices.DeleteFunc(slices.Clone(browsers), filepath.IsAbs) // one may be outside the PATH
	t.Setenv("PATH", t.TempDir())
	got := run(t, &Program{}, "plan", file(t, "small.yaml", small), "--format", "pdf")
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.stderr, "install Chromium or Chrome")
	assert.Contains(t, got.stderr, "--format html")
	got = run(t, &Program{Width: 80}, "plan", file(t, "small.yaml", small), "--format", "pdf")
	assert.Contains(t, got.stderr, "-o sheet.pdf")
}

// A browser that fails, or that leaves nothing, is told of; nothing of the page stays behind.
func TestPDFFromABadBrowser(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the stand-in is a script of a Unix shell")
	}
	shell, err := exec.LookPath("sh")
	require.NoError(t, err)
	for script, want := range map[string]string{"exit 3": "could not print the page", "exit 0": "wrote no PDF"} {
		dir, temporary := t.TempDir(), t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, "chromium"), []byte("#!"+shell+"\n"+script+"\n"), 0o755))
		t.Setenv("PATH", dir)
		t.Setenv("TMPDIR", temporary)
		got := run(t, &Program{}, "plan", file(t, "small.yaml", small), "--format", "pdf")
		assert.Equal(t, exitFailed, got.code)
		assert.Contains(t, got.stderr, want)
		left, err := os.ReadDir(temporary)
		require.NoError(t, err)
		assert.Empty(t, left)
	}
}

// An installed browser prints the page.
func TestPDF(t *testing.T) {
	if testing.Short() {
		t.Skip("printing takes seconds")
	}
	if _, err := findBrowser(); err != nil {
		missing(t, err.Error())
	}
	out := filepath.Join(t.TempDir(), "cards.pdf")
	got := run(t, &Program{}, "plan", file(t, "small.yaml", small), "--sheet", "cards", "--paper", "letter", "-o", out)
	require.Equal(t, exitDone, got.code, got.stderr)
	content, err := os.ReadFile(out)
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(string(content), "%PDF-"))
	// ISO 32000-1, 7.7.3.3: the size of a page in points; Letter is 612 by 792.
	assert.Contains(t, string(content), "/MediaBox [0 0 612 792]")
}
