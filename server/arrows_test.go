package server

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/needs"
)

const module = "kinorder.example/"

// goPackage is what go list says about a package.
type goPackage struct {
	ImportPath string
	Standard   bool
	Imports    []string
	Deps       []string
}

// arrows says what the packages of the module may import of each other, by path below the module.
// The layout in DEVELOPERS.md is drawn after it; a package that is not here has to be added to both.
var arrows = map[string][]string{
	"solver":                        {},
	"server/internal/wording":       {},
	"server/internal/kin":           {},
	"server/internal/event":         {"server/internal/wording"},
	"server/internal/family":        {"server/internal/event", "server/internal/kin"},
	"server/internal/check":         {"server/internal/event", "server/internal/family", "server/internal/kin", "server/internal/outdoors", "server/internal/wording"},
	"server/internal/readback":      {"server/internal/event", "server/internal/intake", "server/internal/wording"},
	"server/internal/intake":        {"server/internal/event", "server/internal/wording", "server/internal/check", "server/internal/kin"},
	"server/internal/outdoors":      {"server/internal/event", "solver", "server/internal/wording"},
	"server/internal/planning":      {"server/internal/check", "server/internal/event", "server/internal/outdoors", "server/internal/planning/model", "server/internal/planning/why", "server/internal/wording", "solver"},
	"server/internal/sheet":         {"server/internal/diagram", "server/internal/event", "server/internal/family", "server/internal/kin", "server/internal/sheet/fill", "server/internal/sheet/fold", "server/internal/sheet/ical", "server/internal/sheet/limits", "server/internal/sheet/remarks", "server/internal/sheet/script", "server/internal/sheet/sky", "server/internal/wording"},
	"server/internal/sheet/fill":    {"server/internal/sheet/fold"},
	"server/internal/sheet/fold":    {"server/internal/wording"},
	"server/internal/sheet/ical":    {},
	"server/internal/sheet/limits":  {"server/internal/event", "server/internal/wording"},
	"server/internal/sheet/remarks": {"server/internal/event", "server/internal/sheet/fold", "server/internal/wording"},
	"server/internal/sheet/script":  {"server/internal/wording"},
	"server/internal/sheet/sky":     {"server/internal/event", "server/internal/wording"},
	"server/internal/diagram":       {"server/internal/event", "server/internal/wording"},
	"server/internal/placing":       {"server/internal/event", "server/internal/family", "solver", "server/internal/wording", "server/internal/check"},
	"server/internal/gate":          {"server/internal/planning"},
	"server/internal/drawing":       {"server/internal/check", "server/internal/event", "server/internal/gate", "server/internal/outdoors", "server/internal/placing", "server/internal/sheet"},
	"server/internal/api":           {"server/internal/api/eventstream", "server/internal/api/newest", "server/internal/api/weight", "server/internal/caught", "server/internal/access", "server/internal/run", "server/internal/store", "server/internal/diagram", "server/internal/drawing", "server/internal/event", "server/internal/gate", "server/internal/intake", "server/internal/metrics", "server/internal/placing", "server/internal/planning", "server/internal/planning/learn", "server/internal/readback", "solver", "server/internal/sheet", "server/internal/traces", "server/internal/webhook", "server/internal/wording", "proto", "proto/kinorder/v1", "server/internal/check"},
	"server":                        {"server/internal/access", "server/internal/authority", "server/internal/run", "server/internal/store", "server/internal/api", "server/internal/event", "server/internal/gate", "server/internal/metrics", "server/internal/planning", "server/internal/traces", "server/internal/web", "server/internal/web/desk", "server/internal/web/kept", "server/internal/web/phone", "server/internal/webhook", "server/internal/wording"},
	"server/internal/web":           {"server/internal/caught", "server/internal/drawing", "server/internal/event", "server/internal/gate", "server/internal/intake", "server/internal/planning", "server/internal/planning/model", "server/internal/readback", "server/internal/sheet", "server/internal/web/fields", "server/internal/web/kept", "server/internal/web/people", "server/internal/web/proxy", "server/internal/web/qrcode", "server/internal/web/upload", "server/internal/weigh", "server/internal/wording", "server/internal/check"},
	"client":                        {"proto/kinorder/v1"},
	"client/cmd/kinorder":           {"client", "server", "proto/kinorder/v1"},
	"proto":                         {},
	"proto/kinorder/v1":             {},

	"server/internal/run":    {"server/internal/caught", "server/internal/event", "server/internal/gate", "server/internal/planning", "server/internal/planning/model", "server/internal/wording", "server/internal/check"},
	"server/internal/store":  {"server/internal/event", "server/internal/run"},
	"server/internal/access": {"server/internal/event", "server/internal/run", "server/internal/store"},

	"server/internal/authority": {},
	"server/internal/webhook":   {"server/internal/store"},

	"server/internal/caught":  {},
	"server/internal/metrics": {},
	"server/internal/traces":  {},

	"server/internal/peak":  {"server/internal/needs"},
	"server/internal/weigh": {},

	"server/internal/hostile":         {"server/internal/event"},
	"server/internal/needs":           {},
	"server/internal/web/browsertest": {"server/internal/needs"},

	"server/internal/web/phone":           {"server/internal/access", "server/internal/event", "server/internal/family", "server/internal/gate", "server/internal/run", "server/internal/store", "server/internal/weigh", "server/internal/web/phone/wire", "server/internal/web/proxy", "server/internal/wording"},
	"server/internal/web/phone/core/pack": {},
	"server/internal/web/phone/wire":      {"server/internal/caught", "server/internal/event", "server/internal/planning", "server/internal/planning/model", "server/internal/run", "server/internal/wording"},

	"server/internal/web/desk":   {"server/internal/access", "server/internal/event", "server/internal/run", "server/internal/store", "server/internal/web/kept"},
	"server/internal/web/fields": {"server/internal/event", "server/internal/gate", "server/internal/intake", "server/internal/wording"},
	"server/internal/web/kept":   {"server/internal/event"},
	"server/internal/web/people": {"server/internal/event", "server/internal/family", "server/internal/intake", "server/internal/planning/model", "server/internal/readback", "server/internal/web/fields", "server/internal/wording"},
	"server/internal/web/proxy":  {},
	"server/internal/web/qrcode": {},
	"server/internal/web/upload": {"server/internal/intake", "server/internal/wording"},

	"server/internal/api/weight":      {},
	"server/internal/api/newest":      {},
	"server/internal/api/eventstream": {"proto/kinorder/v1"},
	"server/internal/planning/learn":  {"server/internal/event", "server/internal/check", "server/internal/planning", "server/internal/planning/model", "solver"},
	"server/internal/planning/why":    {"server/internal/event", "server/internal/planning/model", "server/internal/wording", "solver"},
	"server/internal/planning/model":  {"server/internal/event", "server/internal/family", "server/internal/kin", "server/internal/wording", "solver"},

	"server/internal/store/storetest": {"server/internal/event", "server/internal/run", "server/internal/store"},
}

// readingRooms are the rooms in which a list is read, each below those that may use it.
var readingRooms = []string{"words", "lines", "people", "speech", "letters", "questions", "plain", "couple", "facts", "statements", "photographs", "doubt", ""}

// apartRooms are rooms beside each other, and who may import a room besides the others.
var (
	apartRooms = map[string]string{"facts": "couple", "statements": "couple", "photographs": "couple"}
	fromTables = []string{"photographs", ""}
)

// unreached is what must not be reached, not even through others.
var unreached = []struct {
	from   string
	no     []string
	reason string
}{
	{"solver", []string{"net", "database/sql", "log"}, "the solver is pure"},
	{"server/internal/wording", []string{"google.golang.org/", "database/sql", "net/http"}, "words know no transport and no storage"},
	{"server/internal/kin", []string{"google.golang.org/", "database/sql", "net/http"}, "words of kin know no transport and no storage"},
	{"server/internal/check", []string{"google.golang.org/", "database/sql", "net/http"}, "checks know no transport and no storage"},
	{"server/internal/event", []string{"google.golang.org/", "database/sql", "net/http"}, "the domain knows no transport and no storage"},
	{"server/internal/intake", []string{"google.golang.org/", "database/sql"}, "files are read without the wire"},
	{"server/internal/planning", []string{"google.golang.org/", "database/sql", "net/http"}, "planning knows no transport and no storage"},
	{"server/internal/outdoors", []string{"google.golang.org/", "database/sql", "net/http"}, "sun and lenses know no transport and no storage"},
	{"server/internal/run", []string{"google.golang.org/", "database/sql", "net/http"}, "a run knows no transport and no storage"},
	{"server/internal/sheet", []string{"google.golang.org/", "database/sql"}, "sheets are drawn without the wire"},
	{"server/internal/placing", []string{"google.golang.org/", "database/sql", "net/http"}, "places are found without the wire"},
	{"server/internal/diagram", []string{"google.golang.org/", "database/sql", "net/http"}, "pictures are drawn without the wire"},
	{"server/internal/web", []string{"google.golang.org/", "database/sql"}, "pages are served without the wire"},
	{"client", []string{module + "server"}, "other programs import the client without the server"},
}

func listed(t *testing.T) map[string]goPackage {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), "go", "list", "-deps", "-json=ImportPath,Standard,Imports,Deps", module+"...").Output()
	require.NoError(t, err)
	packages := map[string]goPackage{}
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p goPackage
		err := d.Decode(&p)
		if errors.Is(err, io.EOF) {
			return packages
		}
		require.NoError(t, err)
		packages[p.ImportPath] = p
	}
}

// area is where a package belongs: the packages of the solver are one, and so are those of intake.
func area(name string) string {
	for _, whole := range []string{"solver", "server/internal/intake"} {
		if strings.HasPrefix(name, whole+"/") {
			return whole
		}
	}
	return name
}

// The solver is pure: the standard library only, and nothing of it that looks outside. What its
// tests read instances with is beside it, not in it.
func TestSolverImports(t *testing.T) {
	needs.Alone(t)
	outside := []string{"os", "os/exec", "os/signal", "net", "log", "log/slog", "syscall"}
	packages := listed(t)
	for path, p := range packages {
		name, ours := strings.CutPrefix(path, module)
		if !ours || area(name) != "solver" || strings.HasPrefix(name, "solver/cmd/") || strings.HasPrefix(name, "solver/internal/") {
			continue
		}
		for _, i := range p.Imports {
			assert.True(t, packages[i].Standard || strings.HasPrefix(i, module), "%s imports %s, which is not in the standard library", name, i)
			assert.NotContains(t, outside, i, "%s looks outside", name)
		}
	}
}

func TestImportArrows(t *testing.T) {
	needs.Alone(t)
	packages := listed(t)
	for path, p := range packages {
		name, ours := strings.CutPrefix(path, module)
		if !ours {
			continue
		}
		allowed, known := arrows[area(name)]
		if !assert.True(t, known, "%s has no place in the layout", name) {
			continue
		}
		for _, i := range p.Imports {
			if below, ok := strings.CutPrefix(i, module); ok {
				inside := area(below) == area(name)
				assert.True(t, inside || slices.Contains(allowed, area(below)), "%s must not import %s", name, below)
			}
		}
	}
	for _, k := range unreached {
		p, ok := packages[module+k.from]
		require.True(t, ok, k.from)
		for _, dep := range p.Deps {
			for _, no := range k.no {
				under := dep == no || strings.HasPrefix(dep, strings.TrimSuffix(no, "/")+"/")
				assert.False(t, under, "%s reaches %s: %s", k.from, dep, k.reason)
			}
		}
	}
}

// The rooms of a reading know the rooms below them, and others know its door.
func TestReadingRooms(t *testing.T) {
	needs.Alone(t)
	const door = module + "server/internal/intake/prose"
	room := func(path string) (int, string) {
		name, ok := strings.CutPrefix(path, door)
		if name = strings.TrimPrefix(name, "/"); !ok {
			return -1, ""
		}
		at := slices.Index(readingRooms, name)
		assert.GreaterOrEqual(t, at, 0, "%s has no place among the rooms", path)
		return at, name
	}
	for path, p := range listed(t) {
		at, name := room(path)
		for _, i := range p.Imports {
			below, other := room(i)
			switch {
			case below < 0:
			case at >= 0:
				assert.Less(t, below, at, "%s must not import %s", path, i)
				assert.False(t, apartRooms[name] == other && other != "", "%s must not import %s", path, i)
			default:
				assert.Contains(t, fromTables, other, "%s must not import %s", path, i)
			}
		}
	}
}
