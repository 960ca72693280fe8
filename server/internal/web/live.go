package web

import (
	"fmt"
	"net/http"
	"time"

	"kinorder.example/server/internal/gate"
)

const (
	// mostLive is how many windows are told of changes at once, mostLiveOfOne how many of them from one address.
	mostLive, mostLiveOfOne = 512, 64
	// lookTime is how long a change waits to be told: it may have come by a call, or by another server.
	lookTime = time.Second
	// pulseTime is after how many looks a window hears something, and whether it may still look on is asked again.
	pulseTime = 15
)

// live tells a window which version of an event is the newest, as server-sent events. What it is comes with the page.
func (s *Server) live(w http.ResponseWriter, r *http.Request) {
	asked := &request{Request: r, out: http.NewResponseController(w), header: w, log: &entry{}}
	if err := s.signed(asked); err != nil {
		http.Error(w, "", http.StatusForbidden)
		return
	}
	leave, ok := s.places.Take(gate.Share{Of: "live from " + asked.from(), Most: mostLiveOfOne}, gate.Share{Of: "live", Most: mostLive})
	if !ok {
		http.Error(w, "", http.StatusTooManyRequests)
		return
	}
	defer leave()
	look := time.NewTicker(lookTime)
	defer look.Stop()
	told := int64(0)
	for n := 0; ; n++ {
		now, err := s.options.Desk.Newest(r.Context(), asked.visitor, r.PathValue("id"))
		switch {
		case err != nil && n == 0:
			http.Error(w, "", refusalOf(err).status)
			return
		case err != nil || n%pulseTime == 0 && s.signed(asked) != nil:
			return // the window asks again, and is told what is the matter
		case now != told:
			told = now
			err = asked.say("event: version\ndata: %d\n\n", now)
		case n%pulseTime == 0:
			err = asked.say(":\n\n")
		}
		if err != nil {
			return
		}
		select {
		case <-look.C:
		case <-r.Context().Done():
			return
		case <-s.stopping:
			return
		}
	}
}

// say writes a part of a stream, which has its own time to arrive.
func (r *request) say(format string, args ...any) error {
	r.header.Header().Set("Content-Type", "text/event-stream")
	_ = r.out.SetWriteDeadline(time.Now().Add(writeTime)) // what cannot have one, such as a test's recorder, goes without
	if _, err := fmt.Fprintf(r.header, format, args...); err != nil {
		return err
	}
	return r.out.Flush()
}
