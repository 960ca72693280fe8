package store_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

// shipped are the statements that leave a database as a version of the program left it: the schema
// with data in it. A new migration gets a file with the schema that it leaves; files are never edited.
func shipped(t *testing.T) map[string]string {
	t.Helper()
	names, err := filepath.Glob("testdata/schema-*.sql")
	require.NoError(t, err)
	out := map[string]string{}
	for _, name := range names {
		content, err := os.ReadFile(name)
		require.NoError(t, err)
		out[filepath.Base(name)] = string(content)
	}
	all, err := store.Steps()
	require.NoError(t, err)
	require.Len(t, out, len(all), "one for each schema that was shipped")
	return out
}

// Data of every shipped schema is there after the migration, and can be written on.
func TestMigrateFromEveryShippedSchema(t *testing.T) {
	for name, content := range shipped(t) {
		for kind, fresh := range map[string]func(*testing.T) opener{"SQLite": freshSQLite, "PostgreSQL": freshPostgres} {
			t.Run(name+" "+kind, func(t *testing.T) {
				open := fresh(t)
				s := open(t, store.Options{})
				putBack(t, s, content)
				require.NoError(t, s.Close())
				check(t, open(t, store.Options{}))
			})
		}
	}
}

// putBack brings a store to a schema that was shipped.
func putBack(t *testing.T, s *store.Store, content string) {
	t.Helper()
	for _, table := range []string{"notices", "webhooks", "wishes", "marks", "runs", "sheets", "links", "requests", "event_asides", "event_versions", "events", "schema_version"} {
		require.NoError(t, s.Exec(t.Context(), "DROP TABLE "+table))
	}
	for statement := range strings.SplitSeq(content, ";\n") {
		if strings.TrimSpace(statement) != "" {
			require.NoError(t, s.Exec(t.Context(), statement))
		}
	}
}

// Sheets and runs from before they were numbered stay in the order of their making, and what is made next
// comes after them, whatever the clock says.
func TestMigrateNumbers(t *testing.T) {
	for kind, fresh := range map[string]func(*testing.T) opener{"SQLite": freshSQLite, "PostgreSQL": freshPostgres} {
		t.Run(kind, func(t *testing.T) {
			open := fresh(t)
			s := open(t, store.Options{})
			putBack(t, s, shipped(t)["schema-0001.sql"])
			for id, made := range map[string]int{"a": 1810382400002, "b": 1810382400001, "c": 1810382400001} {
				require.NoError(t, s.Exec(t.Context(), fmt.Sprintf("INSERT INTO sheets (event_id, id, version, create_ms, body) VALUES ('party', '%s', 1, %d, '{}')", id, made)))
			}
			require.NoError(t, s.Close())
			s = open(t, store.Options{Now: func() time.Time { return storetest.Noon.Add(-time.Hour) }})
			c, err := s.CreateSheet(t.Context(), store.Request{}, "party", 1, event.CallSheet{})
			require.NoError(t, err)
			list, _, err := s.Sheets(t.Context(), "party", store.Page{Size: 9})
			require.NoError(t, err)
			var ids []string
			for _, l := range list {
				ids = append(ids, l.ID)
			}
			assert.Equal(t, []string{"sheet1", "b", "c", "a", c.ID}, ids)
		})
	}
}

// check reads what is in every file of a shipped schema.
func check(t *testing.T, s *store.Store) {
	ctx := t.Context()
	e, err := s.Event(ctx, "party")
	require.NoError(t, err)
	assert.Equal(t, "Inês & نور", e.Event.Title)
	assert.Equal(t, "Inês & نور", e.Title)
	assert.Equal(t, int64(1810382400000), e.Updated.UnixMilli())
	again, err := s.CreateEvent(ctx, store.Request{ID: "request-1"}, "", event.Event{})
	require.NoError(t, err)
	assert.Equal(t, e, again)
	assert.Equal(t, event.Elder, e.Event.People[0].AgeBand)
	assert.Equal(t, event.InBlock, e.Event.Rules[0].Apart.Scope)
	list, _, err := s.Sheets(ctx, "party", store.Page{Size: 9})
	require.NoError(t, err)
	require.Len(t, list, 1)
	c, err := s.Sheet(ctx, "party", list[0].ID)
	require.NoError(t, err)
	assert.Equal(t, "all", c.Sheet.Blocks[0].Entries[0].Grouping)
	ref := run.Ref{Event: "party", Run: "run1"}
	got, err := s.Changes(ctx, ref, 0)
	require.NoError(t, err)
	require.NotNil(t, got.Plan)
	state := run.Fold(got.Marks)
	assert.Equal(t, run.Done, state.Groupings["all"].Status)
	assert.Len(t, state.Notes, 1)
	_, err = s.Open(ctx, "AAAAAAAAAAAAAAAAAAAAAA")
	require.NoError(t, err)
	sequence, err := s.AddMarks(ctx, ref, []run.Mark{storetest.Note("later")})
	require.NoError(t, err)
	assert.Equal(t, got.Run.Sequence+1, sequence)
	require.NoError(t, s.DeleteEvent(ctx, "party", 0))
}

// A migration that was shipped stays as it was: its text is in the file of its schema.
func TestShippedMigrationsAreNotEdited(t *testing.T) {
	all, err := store.Steps()
	require.NoError(t, err)
	for i, step := range all {
		content := shipped(t)[fmt.Sprintf("schema-%04d.sql", i+1)]
		for statement := range strings.SplitSeq(step, ";") {
			assert.Contains(t, content, strings.TrimSpace(statement), "migration %d: a change is a new file", i+1)
		}
	}
}

func TestNewerSchemaIsRefused(t *testing.T) {
	folder := t.TempDir()
	s, err := store.OpenSQLite(t.Context(), folder, store.Options{})
	require.NoError(t, err)
	require.NoError(t, s.Exec(t.Context(), "INSERT INTO schema_version (version) VALUES (99)"))
	require.NoError(t, s.Close())
	_, err = store.OpenSQLite(t.Context(), folder, store.Options{})
	require.ErrorContains(t, err, "newer version")
}

// What a newer version added to a document is not dropped: it is refused.
func TestNewerDocumentIsRefused(t *testing.T) {
	s := freshSQLite(t)(t, store.Options{})
	ref := storetest.Begin(t, s)
	require.NoError(t, s.Exec(t.Context(), `UPDATE event_versions SET body = '{"Title":"LAPWING","Tomorrow":1}'`))
	_, err := s.Event(t.Context(), ref.Event)
	require.ErrorIs(t, err, store.ErrVersion)
	assert.NotContains(t, err.Error(), "LAPWING")
}

// The codes are those of PostgreSQL's appendix "PostgreSQL Error Codes".
func TestClassifyPostgres(t *testing.T) {
	for code, want := range map[string]error{
		"53100": store.ErrFull, "57P01": store.ErrUnreachable, "08006": store.ErrUnreachable, "58030": store.ErrUnreachable,
		"25006": store.ErrUnreachable, "53300": store.ErrUnreachable, "23505": store.ErrExists, "23503": store.ErrNotFound,
	} {
		err := store.ClassifyPostgres(code)
		require.ErrorIs(t, err, want, code)
		assert.NotContains(t, err.Error(), "LAPWING")
	}
	assert.NotContains(t, store.ClassifyPostgres("22P02").Error(), "message", "it may quote a value")
}
