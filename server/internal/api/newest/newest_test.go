package newest

import (
	"errors"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"
)

func TestSkipsWhatIsOvertaken(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var sent []int
		reading := make(chan struct{})
		n := Start(func(p int) error {
			<-reading // the caller reads slowly
			sent = append(sent, p)
			return nil
		})
		n.Put(5)
		synctest.Wait()
		for p := 4; p > 0; p-- {
			n.Put(p)
		}
		close(reading)
		n.Close()
		n.Close()
		assert.Equal(t, []int{5, 1}, sent)
	})
}

func TestStopsAtAnError(t *testing.T) {
	calls := 0
	n := Start(func(int) error {
		calls++
		return errors.New("the caller has gone")
	})
	for range 100 {
		n.Put(1)
	}
	n.Close()
	assert.Equal(t, 1, calls)
}
