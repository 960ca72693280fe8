package gate

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// of has a way in be that of a studio.
func of(p Party, enter entry) entry {
	return func(ctx context.Context) (context.Context, func(), error) { return enter(As(ctx, p)) }
}

var flooding, other, third = Party{Number: 1}, Party{Number: 2}, Party{Number: 3}

// However many searches a studio sends, the next place is that of another, and its replan is before all.
func TestStudiosTakeTurns(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(1, 8)
		first := entering(t, of(flooding, g.Enter))
		var many []<-chan func()
		for range 6 {
			many = append(many, entering(t, of(flooding, g.Enter)))
		}
		plan, late := entering(t, of(other, g.Enter)), entering(t, of(third, g.Enter))
		day := entering(t, of(other, g.EnterFirst))
		order := []<-chan func(){day, plan, late, many[0], many[1]}
		leave := <-first
		for _, next := range order {
			leave()
			synctest.Wait()
			require.Len(t, next, 1)
			leave = <-next
		}
		for _, rest := range many[2:] {
			leave()
			leave = <-rest
		}
		leave()
	})
}

// A studio that fills the queue makes room there for others, until all have as much of it.
func TestAFullQueueIsShared(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(1, 4)
		_, leave, err := g.Enter(As(t.Context(), flooding))
		require.NoError(t, err)
		ended := make(chan error, 4)
		for range 4 {
			go func() {
				_, leave, err := g.Enter(As(t.Context(), flooding))
				if err == nil {
					leave()
				}
				ended <- err
			}()
			synctest.Wait()
		}
		one, two := entering(t, of(other, g.Enter)), entering(t, of(other, g.Enter))
		var busy *BusyError
		for range 2 {
			require.ErrorAs(t, <-ended, &busy, "the last of the many")
		}
		assert.Equal(t, BusyError{Solves: 1, Queued: 2, Retry: 10 * time.Second}, *busy, "a studio hears of its own")
		for _, p := range []Party{flooding, other} {
			_, _, err = g.Enter(As(t.Context(), p))
			require.ErrorAs(t, err, &busy)
		}
		leave()
		(<-one)()
		(<-two)()
		for range 2 {
			assert.NoError(t, <-ended)
		}
	})
}

// What a studio may have at once leaves places free, and holds up no replan of its own.
func TestAStudioHasItsShare(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(3, 1)
		few := Party{Number: 1, Most: 1}
		held, leave, err := g.Enter(As(t.Context(), few))
		require.NoError(t, err)
		waits := entering(t, of(few, g.Enter))
		assert.Empty(t, waits)
		_, _, err = g.Enter(As(t.Context(), few))
		var busy *BusyError
		require.ErrorAs(t, err, &busy)
		assert.EqualError(t, err, "the studio runs as many searches at once as it may (1; waiting: 1)")
		day, others := entering(t, of(few, g.EnterFirst)), entering(t, of(other, g.Enter))
		leaveDay, leaveOthers := <-day, <-others

		time.Sleep(share - time.Nanosecond)
		synctest.Wait()
		assert.NoError(t, held.Err())
		time.Sleep(time.Nanosecond)
		synctest.Wait()
		assert.ErrorAs(t, context.Cause(held), &busy, "it has had its minute, and a colleague waits")
		leave()
		leaveOthers()
		leaveDay()
		(<-waits)()
	})
}

// Whoever waits for a colleague ends no search of others.
func TestAShareEndsNoOthers(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(2, 4)
		few := Party{Number: 1, Most: 1}
		stays, leaveStays, err := g.Enter(As(t.Context(), other))
		require.NoError(t, err)
		own, leave, err := g.Enter(As(t.Context(), few))
		require.NoError(t, err)
		waits := entering(t, of(few, g.Enter))
		time.Sleep(2 * share)
		synctest.Wait()
		assert.NoError(t, stays.Err())
		assert.Error(t, own.Err())
		leave()
		leaveStays()
		(<-waits)()
	})
}
