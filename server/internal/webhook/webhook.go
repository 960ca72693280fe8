// Package webhook tells the addresses that a studio gave what happens: sheets that were made, days that began and ended. It
// sends names of resources only, in the form of standard webhooks (standardwebhooks.com), signed, and again until they
// arrive. What is to be told is in the store, so that it outlasts the server. It reaches no network that is private to this
// machine's surroundings unless it may.
package webhook

import (
	"bytes"
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"net"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"kinorder.example/server/internal/store"
)

const (
	// sendTime is how long an address may take to answer, and leaseTime after what time another server takes over a notice.
	sendTime  = 15 * time.Second
	leaseTime = time.Minute
	// atOnce is how many are sent at the same time.
	atOnce = 8
	// lookTime is how often the store is looked at when it says nothing: another server may have died.
	lookTime = time.Minute
	// afterFault is how long to wait when the store cannot be used.
	afterFault = 10 * time.Second
	// mostRead is how much of an answer is read, so that the connection can be used again.
	mostRead = 64 << 10
)

// pauses are how long to wait after each try that failed. After the last the notice is given up: two and a half days.
var pauses = []time.Duration{
	5 * time.Second, 30 * time.Second, 2 * time.Minute, 10 * time.Minute, time.Hour, 3 * time.Hour, 8 * time.Hour, 24 * time.Hour, 24 * time.Hour,
}

// Options of a Teller. Store and Log are required.
type Options struct {
	Store *store.Store
	// Log gets ids of webhooks and codes, never an address.
	Log *slog.Logger
	// Private lets it reach networks that are not public, and speak without encryption.
	Private bool
}

// Teller sends what the store has for webhooks, from New to Stop.
type Teller struct {
	o       Options
	client  *http.Client
	stop    context.CancelFunc
	working sync.WaitGroup
}

// New begins to send.
func New(o Options) *Teller {
	ctx, stop := context.WithCancel(context.Background())
	t := &Teller{o: o, client: clientOf(o.Private), stop: stop}
	t.working.Go(func() { t.work(ctx) })
	return t
}

// Stop ends it; what was not sent stays in the store.
func (t *Teller) Stop() {
	t.stop()
	t.working.Wait()
	t.client.CloseIdleConnections()
}

func (t *Teller) work(ctx context.Context) {
	for ctx.Err() == nil {
		due, next, err := t.o.Store.DueNotices(ctx, atOnce, leaseTime)
		wait := lookTime
		switch {
		case err != nil:
			if ctx.Err() == nil {
				t.o.Log.Error("webhooks cannot be told", "cause", err.Error()) // which quotes nothing that is stored
			}
			wait = afterFault
		case len(due) > 0:
			var sending sync.WaitGroup
			for _, n := range due {
				sending.Go(func() { t.tell(ctx, n) })
			}
			sending.Wait()
			continue
		case !next.IsZero():
			wait = min(max(time.Until(next), 10*time.Millisecond), lookTime)
		}
		timer := time.NewTimer(wait)
		select {
		case <-t.o.Store.Telling():
		case <-timer.C:
		case <-ctx.Done():
		}
		timer.Stop()
	}
}

// tell sends a notice once and keeps what became of it.
func (t *Teller) tell(ctx context.Context, n store.Notice) {
	failure := t.send(ctx, n)
	if ctx.Err() != nil && failure != "" {
		return // nobody knows whether it arrived, so it is sent again
	}
	var again time.Time
	if failure != "" && n.Tries <= len(pauses) {
		pause := pauses[n.Tries-1]
		again = time.Now().Add(pause + rand.N(pause/5))
	}
	if failure != "" {
		t.o.Log.Warn("a webhook was not told", "webhook", n.Webhook.ID, "kind", n.Kind, "try", n.Tries, "cause", failure)
	}
	if err := t.o.Store.Told(context.WithoutCancel(ctx), n, failure, again); err != nil && ctx.Err() == nil {
		t.o.Log.Error("webhooks cannot be told", "cause", err.Error())
	}
}

// message is what is sent.
type message struct {
	Type      string    `json:"type"`
	Timestamp time.Time `json:"timestamp"`
	Data      resource  `json:"data"`
}

type resource struct {
	Name string `json:"name"`
}

// send sends a notice once. It returns why it did not arrive, in words that hold no address.
func (t *Teller) send(ctx context.Context, n store.Notice) (failure string) {
	body, err := json.Marshal(message{n.Kind, n.Created.UTC(), resource{n.Resource}})
	if err != nil {
		panic(err) // texts and a time
	}
	ctx, cancel := context.WithTimeout(ctx, sendTime)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, n.Webhook.URL, bytes.NewReader(body))
	if err != nil {
		return "the address cannot be read"
	}
	at := strconv.FormatInt(time.Now().Unix(), 10)
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("User-Agent", "kinorder")
	r.Header.Set("Webhook-Id", n.ID)
	r.Header.Set("Webhook-Timestamp", at)
	r.Header.Set("Webhook-Signature", Sign(n.Webhook.Secret, n.ID, at, body))
	answer, err := t.client.Do(r)
	if err != nil {
		return cause(err)
	}
	defer answer.Body.Close()
	_, _ = io.CopyN(io.Discard, answer.Body, mostRead) // only to use the connection again
	if answer.StatusCode/100 != 2 {
		return fmt.Sprintf("the answer was %d", answer.StatusCode)
	}
	return ""
}

// Sign is the signature of a message, for the header webhook-signature.
func Sign(secret, id, timestamp string, body []byte) string {
	key, err := base64.StdEncoding.DecodeString(strings.TrimPrefix(secret, "whsec_"))
	if err != nil {
		key = []byte(secret) // which no secret of ours is
	}
	mac := hmac.New(sha256.New, key)
	fmt.Fprintf(mac, "%s.%s.", id, timestamp)
	mac.Write(body)
	return "v1," + base64.StdEncoding.EncodeToString(mac.Sum(nil))
}

// cause says what is behind an error of sending.
func cause(err error) string {
	var name *net.DNSError
	var network *net.OpError
	switch {
	case errors.Is(err, errPrivate):
		return errPrivate.Error()
	case errors.Is(err, context.DeadlineExceeded):
		return fmt.Sprintf("there was no answer within %.0f seconds", sendTime.Seconds())
	case errors.As(err, &name):
		return "nothing has the name of the address"
	case errors.As(err, &network):
		return "the address cannot be reached"
	}
	return "the connection failed"
}
