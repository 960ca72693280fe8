package gate

import (
	"context"
	"errors"
	"time"

	"golang.org/x/sync/semaphore"
)

// ErrCrowded says that there was no room for another request within RoomTime.
var ErrCrowded = errors.New("too much is being read at once")

// RoomTime is how long a request waits for room.
const RoomTime = 10 * time.Second

// Memory is what requests share: calls and pages take from the same. What waits for one room never holds any of one
// that stands after it here, so that nobody waits for each other.
type Memory struct {
	Arriving *Room // of requests whose bytes are still coming
	Requests *Room // of requests from when they are decoded until they are answered
	Files    *Room // of files that are being read
}

// NewMemory returns the memory of a server. With all of it taken a server stays below a gigabyte, searches apart.
func NewMemory() *Memory {
	return &Memory{Arriving: NewRoom(160 << 20), Requests: NewRoom(320 << 20), Files: NewRoom(400 << 20)}
}

// small is what a request of usual size takes at most, in bytes.
const small = 1 << 20

// Room is memory, in bytes, that requests share while they are read and answered. Large ones wait for each
// other. Small ones have a tenth for themselves, so that large ones never hold them up. It is safe for use by
// several goroutines.
type Room struct {
	large, small *semaphore.Weighted
	most         int64 // that one request can take
}

// NewRoom returns a room of so many bytes, at least 10.
func NewRoom(bytes int64) *Room {
	return &Room{semaphore.NewWeighted(bytes - bytes/10), semaphore.NewWeighted(bytes / 10), bytes - bytes/10}
}

// Take waits for so many bytes, or for as many as there are, and returns what gives them back. Whoever came
// first is served first. It returns ErrCrowded after RoomTime, and the cause of ctx when that ends before.
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
