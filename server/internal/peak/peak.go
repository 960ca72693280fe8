// Package peak measures the most memory that something takes, in a separate process, because in the test's own process
// what ran before would count as well. Only tests use it.
package peak

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/needs"
)

// The bounds that DEVELOPERS.md states, in bytes above what the program has anyway: of one request, and of
// eight at once.
const (
	One   = 256 << 20
	Eight = 1 << 30
)

// Heavy says that eight at once of what takes so much alone have to be measured too: of less they could not come near
// their bound, even if nothing held them back.
func Heavy(took int) bool { return took > Eight/12 }

// child is the environment variable by which a test knows that it is the process to measure.
const child = "KINORDER_TEST_PEAK"

// Process is a test that was started once more, by itself, to be measured.
type Process struct {
	run   *exec.Cmd
	in    io.Writer
	out   *bufio.Reader
	idle  int
	Hello string // the first thing it said
}

// Start starts a test of the same package in a process of its own, which has to call Serve, and ends it with the test
// that started it. Under the race detector, which takes memory and time of its own, and where the system doesn't tell
// how much memory was taken, the test is skipped.
func Start(t testing.TB, test string) *Process {
	t.Helper()
	needs.Time(t)
	if needs.Racing {
		t.Skip("memory says nothing under the race detector")
	}
	if _, err := os.Stat("/proc/self/clear_refs"); err != nil {
		t.Skip("this system doesn't say how much memory a process took")
	}
	c := exec.Command(os.Args[0], "-test.run=^"+test+"$")
	c.Env = append(os.Environ(), child+"=1")
	c.Stderr = os.Stderr
	in, err := c.StdinPipe()
	require.NoError(t, err)
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	t.Cleanup(func() {
		_ = in.Close() // tells it to end
		_ = c.Wait()
	})
	p := &Process{run: c, in: in, out: bufio.NewReader(out)}
	p.Hello = p.answer(t)
	p.idle = p.number(t, "begin")
	return p
}

// Do has the process do something and returns what it answers.
func (p *Process) Do(t testing.TB, what string) string {
	t.Helper()
	_, err := fmt.Fprintln(p.in, what)
	require.NoError(t, err)
	return p.answer(t)
}

func (p *Process) answer(t testing.TB) string {
	t.Helper()
	line, err := p.out.ReadString('\n')
	if err != nil {
		require.NoError(t, err, "the process ended: %v", p.run.Wait())
	}
	return strings.TrimSpace(line)
}

func (p *Process) number(t testing.TB, what string) int {
	t.Helper()
	n, err := strconv.Atoi(p.Do(t, what))
	require.NoError(t, err)
	return n
}

// During returns the most memory that the process had while something was done, in bytes, above what it had
// when it was new.
func (p *Process) During(t testing.TB, do func()) int {
	t.Helper()
	p.number(t, "begin")
	do()
	return p.number(t, "end") - p.idle
}

// Serve is what a test does that Start started: it says hello, does what it is told, and returns when it is
// told no more. Otherwise the test is skipped.
func Serve(t *testing.T, hello func() string, do func(what string) string) {
	if os.Getenv(child) == "" {
		t.Skip("started by another test")
	}
	fmt.Println(hello())
	for lines := bufio.NewScanner(os.Stdin); lines.Scan(); {
		switch what := lines.Text(); what {
		case "begin":
			Begin(t)
			fmt.Println(status(t, "VmRSS"))
		case "end":
			fmt.Println(status(t, "VmHWM"))
		default:
			fmt.Println(do(what))
		}
	}
}

// Begin has the peak begin anew, in the process that is measured.
func Begin(t *testing.T) {
	debug.FreeOSMemory()
	debug.FreeOSMemory()                                                          // what is in pools goes the second time
	require.NoError(t, os.WriteFile("/proc/self/clear_refs", []byte("5"), 0o600)) // see proc(5)
}

// status is a line of /proc/self/status, in bytes.
func status(t *testing.T, name string) int {
	text, err := os.ReadFile("/proc/self/status")
	require.NoError(t, err)
	found := regexp.MustCompile(name + `:\s+(\d+) kB`).FindSubmatch(text)
	require.NotNil(t, found)
	n, err := strconv.Atoi(string(found[1]))
	require.NoError(t, err)
	return n << 10
}
