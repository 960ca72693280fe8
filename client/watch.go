package client

import (
	"context"
	"errors"
	"io"
	"iter"
	"math/rand/v2"
	"strings"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

const (
	// Between attempts to come back to a server that is away: twice as long each time, and up to half as long
	// again by chance, so that not all clients come at once.
	firstPause   = 100 * time.Millisecond
	longestPause = 5 * time.Second
	// silence is after how long without a pulse a stream is taken for dead, as the contract of WatchRun says.
	silence = 45 * time.Second
	// attempts is how often a call that does no harm when it is repeated is tried in all.
	attempts = 4
)

// pauses are those between attempts.
type pauses struct{ last time.Duration }

// wait waits, at least for as long as the server said. It returns false when ctx ends before that.
func (p *pauses) wait(ctx context.Context, err error) bool {
	p.last = min(max(2*p.last, firstPause), longestPause)
	pause := p.last
	var e *Error
	if errors.As(err, &e) {
		pause = max(pause, e.RetryAfter)
	}
	pause += rand.N(pause/2 + 1)
	if end, ok := ctx.Deadline(); ok && time.Until(end) < pause {
		return false
	}
	select {
	case <-ctx.Done():
		return false
	case <-time.After(pause):
		return true
	}
}

// WatchRun yields what is new of a run after a sequence, 0 for all of it: at once, then after every
// change. Whatever breaks the stream on its way, it comes back and goes on where it was, so that nothing is
// missing and nothing comes twice. What the server refuses, and what no repetition mends, is the last thing it
// yields. It ends with ctx, or when the loop is left.
func (c *Client) WatchRun(ctx context.Context, run string, after int64) iter.Seq2[*kinorderv1.RunUpdate, error] {
	return func(yield func(*kinorderv1.RunUpdate, error) bool) {
		var p pauses
		told, left := false, false
		for {
			began := time.Now()
			err := c.watch(ctx, run, after, func(u *kinorderv1.RunUpdate) bool {
				if told && u.GetSequence() == after {
					return true // a pulse, or nothing new since the stream broke
				}
				told, after, p = true, u.GetSequence(), pauses{}
				left = !yield(u, nil)
				return !left
			})
			switch {
			case left:
				return
			case ctx.Err() != nil:
				yield(nil, ctx.Err())
				return
			case !passing(err):
				yield(nil, err)
				return
			}
			if time.Since(began) > longestPause {
				p = pauses{} // it was there
			}
			if !p.wait(ctx, err) {
				<-ctx.Done() // there is not enough time for another attempt
				yield(nil, ctx.Err())
				return
			}
		}
	}
}

// watch passes on one stream until it breaks, falls silent, or each returns false.
func (c *Client) watch(ctx context.Context, run string, after int64, each func(*kinorderv1.RunUpdate) bool) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	stream, err := c.runs.WatchRun(ctx, &kinorderv1.WatchRunRequest{Name: run, AfterSequence: after}, grpc.MaxCallRecvMsgSize(maxAnswer))
	if err != nil {
		return Explain(err)
	}
	dead := time.AfterFunc(silence, cancel)
	defer dead.Stop()
	for {
		u, err := stream.Recv()
		dead.Stop()
		if err != nil {
			return Explain(err)
		}
		if !each(u) {
			return nil
		}
		dead.Reset(silence)
	}
}

// passing reports whether an error may be gone when the call is repeated. What the server itself refuses says
// why, and when trying again helps; the rest comes from what is between, and proxies have many words for it.
func passing(err error) bool {
	var e *Error
	if !errors.As(err, &e) {
		return errors.Is(err, io.EOF) // a stream that never ends by itself
	}
	switch e.Code {
	case codes.Unavailable:
		return true
	case codes.Canceled, codes.DeadlineExceeded, codes.Aborted:
		return true // not by the caller, who was asked before
	case codes.Internal, codes.Unknown, codes.DataLoss:
		return e.Reason == ""
	case codes.ResourceExhausted:
		return e.RetryAfter > 0 || e.Reason == "" && !strings.Contains(e.Message, "larger than max")
	}
	return false
}

// again makes a call that does no harm when it is carried out twice, a few times while the answer is lost.
func again[T any](ctx context.Context, call func() (T, error)) (T, error) {
	var p pauses
	for n := 1; ; n++ {
		answer, err := call()
		err = Explain(err)
		var e *Error
		lost := errors.As(err, &e) && passing(err) && e.Code != codes.ResourceExhausted && e.Code != codes.Aborted && e.Code != codes.DeadlineExceeded
		if !lost || n == attempts || ctx.Err() != nil || !p.wait(ctx, err) {
			return answer, err
		}
	}
}
