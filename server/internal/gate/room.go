package gate

import (
	"context"
	"errors"
	"sync"
	"time"

	"golang.org/x/sync/semaphore"
)

// ErrCrowded says that there was no room for another request within RoomTime.
var ErrCrowded = errors.New("too much is being read at once")

// RoomTime is how long a request waits for room.
const RoomTime = 10 * time.Second

// Memory is shared by calls and pages. Rooms are always taken from top to bottom, so that requests cannot deadlock.
type Memory struct {
	Arriving *Shared // calls without a known secret that are still arriving
	Known    *Room   // calls with one, so that slow strangers cannot hold them up
	Forms    *Room   // forms, from their first byte until they are answered
	Requests *Room   // calls and plans in forms, from when they are decoded until they are answered
	Files    *Room   // files while they are read
}

// MostMemory is the memory in bytes that a server takes when all rooms are full, not counting searches.
const MostMemory = 1 << 30

// NewMemory returns the memory of a server.
func NewMemory() *Memory {
	return &Memory{
		Arriving: NewShared(72<<20, 18<<20), Known: NewRoom(72 << 20), Forms: NewRoom(192 << 20), Requests: NewRoom(288 << 20), Files: NewRoom(320 << 20),
	}
}

// small is the most bytes that a request of ordinary size takes.
const small = 1 << 20

// Room is memory, in bytes, that requests share while they are read and answered. A tenth is kept
// for small requests, so that large ones never hold them up. It is safe for use by
// several goroutines.
type Room struct {
	large, small *semaphore.Weighted
	most         int64 // that one request can take
}

// NewRoom returns a room of the given size in bytes, at least 10.
func NewRoom(bytes int64) *Room {
	return &Room{semaphore.NewWeighted(bytes - bytes/10), semaphore.NewWeighted(bytes / 10), bytes - bytes/10}
}

// Take waits for that many bytes, or for the whole room if they are more, and returns a function that gives them
// back. Callers are served in order. It returns ErrCrowded after RoomTime, and the cause of ctx when that ends before.
func (r *Room) Take(ctx context.Context, bytes int64) (give func(), err error) {
	free := r.large
	if bytes <= small {
		free = r.small
	}
	bytes = min(bytes, r.most)
	waiting, cancel := context.WithTimeoutCause(ctx, RoomTime, ErrCrowded)
	defer cancel()
	if err := free.Acquire(waiting, bytes); err != nil {
		return nil, context.Cause(waiting)
	}
	return func() { free.Release(bytes) }, nil
}

// Shared is a room with a limit for each caller. It is safe for use by several goroutines.
type Shared struct {
	room *Room
	part int64
	mu   sync.Mutex
	of   map[string]*part
}

// part is what one has of a shared room.
type part struct {
	room *Room
	uses int // how many hold some of it or wait for it
}

// NewShared returns a room of the given size and the given part for each caller, both in bytes.
func NewShared(bytes, each int64) *Shared {
	return &Shared{room: NewRoom(bytes), part: each, of: make(map[string]*part)}
}

// Take is Room.Take on behalf of a caller, such as an address. A caller who has used up their part waits for that
// part, not for others.
func (s *Shared) Take(ctx context.Context, who string, bytes int64) (give func(), err error) {
	own := s.enter(who)
	giveOwn, err := own.room.Take(ctx, bytes)
	if err != nil {
		s.leave(who)
		return nil, err
	}
	giveAll, err := s.room.Take(ctx, bytes)
	if err != nil {
		giveOwn()
		s.leave(who)
		return nil, err
	}
	return func() {
		giveAll()
		giveOwn()
		s.leave(who)
	}, nil
}

func (s *Shared) enter(who string) *part {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.of[who] == nil {
		s.of[who] = &part{room: NewRoom(s.part)}
	}
	s.of[who].uses++
	return s.of[who]
}

func (s *Shared) leave(who string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.of[who].uses--; s.of[who].uses == 0 {
		delete(s.of, who)
	}
}

// Hold returns an empty share of the room that grows while a request arrives.
func (r *Room) Hold() *Hold { return &Hold{room: r} }

// Hold is a share of a room. It is not safe for use by several goroutines.
type Hold struct {
	room         *Room
	small, large int64
}

// Grow takes more bytes without waiting. It returns false when there are not that many.
func (h *Hold) Grow(bytes int64) bool {
	if h.small+bytes <= small {
		if !h.room.small.TryAcquire(bytes) {
			return false
		}
		h.small += bytes
		return true
	}
	if !h.room.large.TryAcquire(bytes) {
		return false
	}
	h.large += bytes
	return true
}

// Give gives everything back.
func (h *Hold) Give() {
	h.room.small.Release(h.small)
	h.room.large.Release(h.large)
	h.small, h.large = 0, 0
}
