package store

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
)

// Webhook is an address that is told what happens.
type Webhook struct {
	ID, URL string
	// Secret signs what is sent there, in the form of standard webhooks. It is left out of lists.
	Secret  string
	Created time.Time
	// Failed is since when nothing arrives there, zero while it does; Failure says why.
	Failed  time.Time
	Failure string
}

// MaxWebhooks is how many addresses a studio may give.
const MaxWebhooks = 10

// What addresses are told.
const (
	SheetMade   = "sheet.created"
	RunBegun    = "run.begun"
	RunFinished = "run.finished"
)

// Notice is one thing that one address is told.
type Notice struct {
	Webhook Webhook
	// ID tells it from others, the same however often it is sent.
	ID, Kind string
	// Resource is what it is about, as calls name it.
	Resource string
	Created  time.Time
	// Tries counts how often it was sent, this time included.
	Tries int
}

// CreateWebhook keeps an address and makes a secret for it. A request that was carried out before returns what it made;
// ErrReused when that has another address. QuotaError when there are as many as there may be.
func (s *Store) CreateWebhook(ctx context.Context, request Request, address string) (Webhook, error) {
	var key [24]byte
	_, _ = rand.Read(key[:]) // never fails, as its documentation says
	w := Webhook{ID: newID(), URL: address, Secret: "whsec_" + base64.StdEncoding.EncodeToString(key[:]), Created: s.clock()}
	if request.ID != "" { // so that it finds what it made, without an event to remember it by
		sum := sha256.Sum256([]byte("webhook " + request.ID))
		w.ID = hex.EncodeToString(sum[:8])
	}
	err := s.write(ctx, "keep a webhook", func(t tx) error {
		if s.dialect.lock != "" { // two at once would both find room
			if _, err := t.exec(ctx, s.dialect.lock); err != nil {
				return err
			}
		}
		var there, n int64
		if err := t.row(ctx, `SELECT COUNT(*), COALESCE(SUM(CASE WHEN id = ? THEN 1 ELSE 0 END), 0) FROM webhooks`, w.ID).Scan(&n, &there); err != nil {
			return err
		}
		if there > 0 {
			made, err := scanWebhook(t.row(ctx, `SELECT `+webhookColumns+` FROM webhooks WHERE id = ?`, w.ID).Scan)
			if err == nil && made.URL != address {
				err = ErrReused
			}
			w = made
			return err
		}
		if n >= MaxWebhooks {
			return &QuotaError{Webhooks: MaxWebhooks}
		}
		_, err := t.exec(ctx, `INSERT INTO webhooks (id, url, secret, create_ms, failed_ms, failure) VALUES (?, ?, ?, ?, 0, '')`,
			w.ID, w.URL, w.Secret, event.Millis(w.Created))
		return err
	})
	return w, err
}

const webhookColumns = `id, url, secret, create_ms, failed_ms, failure`

func scanWebhook(scan func(...any) error) (Webhook, error) {
	var w Webhook
	err := scan(&w.ID, &w.URL, &w.Secret, at{&w.Created}, at{&w.Failed}, &w.Failure)
	return w, err
}

// Webhooks lists the addresses in the order of their making.
func (s *Store) Webhooks(ctx context.Context) ([]Webhook, error) {
	out, err := rows(ctx, s, `SELECT `+webhookColumns+` FROM webhooks ORDER BY create_ms, id`, nil, func(scan func(...any) error) (Webhook, error) {
		w, err := scanWebhook(scan)
		w.Secret = ""
		return w, err
	})
	return out, s.failed("list webhooks", err)
}

// DeleteWebhook forgets an address and what it has not been told.
func (s *Store) DeleteWebhook(ctx context.Context, id string) error {
	return s.remove(ctx, "delete a webhook", func(t tx) error {
		return t.one(ctx, `DELETE FROM webhooks WHERE id = ?`, id)
	})
}

// tell has all addresses told something about a sheet or run of an event, once. It is sent when the transaction is on disk.
func (t tx) tell(ctx context.Context, kind, eventID, collection, id string) error {
	now := event.Millis(t.s.clock())
	_, err := t.exec(ctx, `INSERT INTO notices (webhook_id, id, kind, event_id, resource, create_ms, due_ms, tries, over_ms)
		SELECT id, CAST(? AS TEXT), CAST(? AS TEXT), CAST(? AS TEXT), CAST(? AS TEXT), CAST(? AS BIGINT), CAST(? AS BIGINT), 0, 0 FROM webhooks
		WHERE true ON CONFLICT DO NOTHING`,
		strings.ReplaceAll(kind, ".", "-")+"-"+id, kind, eventID, "events/"+eventID+"/"+collection+"/"+id, now, now)
	return err
}

// wakeTeller says that there is something to tell.
func (s *Store) wakeTeller() {
	select {
	case s.telling <- struct{}{}:
	default: // it is awake
	}
}

// Telling gets a value when there may be something to tell.
func (s *Store) Telling() <-chan struct{} { return s.telling }

// keptNotice is how long what is over stays.
const keptNotice = 14 * 24 * time.Hour

// DueNotices takes what is due by now, at most so much, and puts it off by a while, so that another server does not send it
// too, and one that dies meanwhile leaves it to be sent again. Next is when something will be due, zero when nothing is.
func (s *Store) DueNotices(ctx context.Context, most int, while time.Duration) (due []Notice, next time.Time, err error) {
	now := s.clock()
	if next, err = s.nextNotice(ctx); err != nil || next.IsZero() || next.After(now) {
		return nil, next, err
	}
	err = s.write(ctx, "take notices", func(t tx) error {
		found, err := t.QueryContext(ctx, s.place(`UPDATE notices SET due_ms = ?, tries = tries + 1 WHERE over_ms = 0 AND due_ms <= ? AND (webhook_id, id) IN
			(SELECT n.webhook_id, n.id FROM notices n WHERE n.over_ms = 0 AND n.due_ms <= ? ORDER BY n.due_ms LIMIT ?)
			RETURNING webhook_id, id, kind, resource, create_ms, tries`),
			event.Millis(now.Add(while)), event.Millis(now), event.Millis(now), most)
		if err != nil {
			return err
		}
		defer found.Close()
		for found.Next() {
			var n Notice
			if err := found.Scan(&n.Webhook.ID, &n.ID, &n.Kind, &n.Resource, at{&n.Created}, &n.Tries); err != nil {
				return err
			}
			due = append(due, n)
		}
		return found.Err()
	})
	for i := 0; err == nil && i < len(due); i++ {
		due[i].Webhook, err = scanWebhook(s.row(ctx, `SELECT `+webhookColumns+` FROM webhooks WHERE id = ?`, due[i].Webhook.ID).Scan)
		err = s.failed("read a webhook", err)
	}
	if err == nil {
		next, err = s.nextNotice(ctx)
	}
	return due, next, err
}

func (s *Store) nextNotice(ctx context.Context) (next time.Time, err error) {
	err = s.row(ctx, `SELECT COALESCE(MIN(due_ms), 0) FROM notices WHERE over_ms = 0`).Scan(at{&next})
	return next, s.failed("look for notices", err)
}

// Told keeps what became of a notice: failure is why it did not arrive, empty when it did, and again when to send it once
// more, zero for not at all.
func (s *Store) Told(ctx context.Context, n Notice, failure string, again time.Time) error {
	now := event.Millis(s.clock())
	return s.write(ctx, "keep what became of a notice", func(t tx) error {
		var err error
		if failure == "" || again.IsZero() {
			_, err = t.exec(ctx, `UPDATE notices SET over_ms = ? WHERE webhook_id = ? AND id = ?`, now, n.Webhook.ID, n.ID)
		} else {
			_, err = t.exec(ctx, `UPDATE notices SET due_ms = ? WHERE webhook_id = ? AND id = ?`, event.Millis(again), n.Webhook.ID, n.ID)
		}
		if err != nil {
			return err
		}
		if failure == "" {
			_, err = t.exec(ctx, `UPDATE webhooks SET failed_ms = 0, failure = '' WHERE id = ? AND failed_ms <> 0`, n.Webhook.ID)
		} else {
			_, err = t.exec(ctx, `UPDATE webhooks SET failed_ms = CASE WHEN failed_ms = 0 THEN CAST(? AS BIGINT) ELSE failed_ms END, failure = ? WHERE id = ?`, now, failure, n.Webhook.ID)
		}
		if err != nil {
			return err
		}
		_, err = t.exec(ctx, `DELETE FROM notices WHERE over_ms <> 0 AND over_ms < ?`, event.Millis(s.clock().Add(-keptNotice)))
		return err
	})
}
