package api

import (
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

func TestNewestSkipsWhatIsOverTaken(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var sent []int64
		reading := make(chan struct{})
		n := startNewest(func(p *kinorderv1.PlanProgress) error {
			<-reading // the caller reads slowly
			sent = append(sent, p.GetCost())
			return nil
		})
		n.put(&kinorderv1.PlanProgress{Cost: 5})
		synctest.Wait()
		for cost := int64(4); cost > 0; cost-- {
			n.put(&kinorderv1.PlanProgress{Cost: cost})
		}
		close(reading)
		n.close()
		n.close()
		assert.Equal(t, []int64{5, 1}, sent)
	})
}

func TestNewestStopsAtAnError(t *testing.T) {
	calls := 0
	n := startNewest(func(*kinorderv1.PlanProgress) error {
		calls++
		return errors.New("the caller has gone")
	})
	for range 100 {
		n.put(&kinorderv1.PlanProgress{})
	}
	n.close()
	assert.Equal(t, 1, calls)
}

func TestAnswerMargin(t *testing.T) {
	assert.Equal(t, 10*time.Millisecond, answerMargin(0))
	assert.Equal(t, 200*time.Millisecond, answerMargin(2*time.Second))
	assert.Equal(t, 500*time.Millisecond, answerMargin(time.Hour))
}
