package store_test

import (
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

// Of several servers one takes a notice, and another gets it when that one does not say what became of it.
func TestNoticesAreTakenOnce(t *testing.T) {
	for name, fresh := range map[string]func(*testing.T) opener{"SQLite": freshSQLite, "PostgreSQL": freshPostgres} {
		t.Run(name, func(t *testing.T) {
			if name == "PostgreSQL" {
				needs.Postgres(t)
			}
			ctx, open := t.Context(), fresh(t)
			stores := []*store.Store{open(t, store.Options{}), open(t, store.Options{})}
			_, err := stores[0].CreateWebhook(ctx, store.Request{}, "https://studio.example/")
			require.NoError(t, err)
			storetest.Begin(t, stores[0])
			var mu sync.Mutex
			var takers sync.WaitGroup
			taken := map[string]int{}
			for i := range 8 {
				takers.Go(func() {
					due, next, err := stores[i%2].DueNotices(ctx, 1, time.Hour)
					assert.NoError(t, err)
					assert.False(t, next.IsZero())
					mu.Lock()
					defer mu.Unlock()
					for _, n := range due {
						taken[n.Kind]++
					}
				})
			}
			takers.Wait()
			for len(taken) < 2 { // those that met at one notice may have left the other
				due, _, err := stores[1].DueNotices(ctx, 9, time.Hour)
				require.NoError(t, err)
				for _, n := range due {
					taken[n.Kind]++
				}
			}
			assert.Equal(t, map[string]int{store.SheetMade: 1, store.RunBegun: 1}, taken)
			later := open(t, store.Options{Now: func() time.Time { return time.Now().Add(2 * time.Hour) }})
			due, _, err := later.DueNotices(ctx, 9, time.Hour)
			require.NoError(t, err)
			require.Len(t, due, 2)
			assert.Equal(t, 2, due[0].Tries)
		})
	}
}
