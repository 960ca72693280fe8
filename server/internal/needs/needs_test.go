package needs

import (
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
)

// outcome is a test that notes how it ended.
type outcome struct {
	testing.TB
	failed, skipped bool
}

func (o *outcome) Helper() {}

func (o *outcome) Fatal(...any) {
	o.failed = true
	runtime.Goexit()
}

func (o *outcome) Skip(...any) {
	o.skipped = true
	runtime.Goexit()
}

func TestWhatIsMissingFailsInCI(t *testing.T) {
	t.Setenv("KINORDER_TEST_POSTGRES", "")
	for _, ci := range []string{"", "true"} {
		t.Setenv("CI", ci)
		for name, need := range map[string]func(testing.TB){
			"program":  func(t testing.TB) { Program(t, "there-is-no-such-program") },
			"postgres": func(t testing.TB) { Postgres(t) },
			"database": func(t testing.TB) { Database(t) },
		} {
			var o outcome
			done := make(chan struct{})
			go func() {
				defer close(done)
				need(&o)
			}()
			<-done
			assert.Equal(t, ci != "", o.failed, name)
			assert.Equal(t, ci == "", o.skipped, name)
		}
	}
}
