package access

import (
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
)

// Shown returns what the holder of a grant may see of what is kept: all of it, or what a reader of names
// must know. Whatever leaves the server for somebody with a secret goes through it.
func Shown[T event.Event | event.CallSheet | run.Update](g Grant, kept T) T {
	if !g.Reads() {
		return kept
	}
	var out any
	switch v := any(kept).(type) {
	case event.Event:
		out = event.ForReader(v)
	case event.CallSheet:
		out = event.SheetForReader(v)
	case run.Update:
		out = run.ForReader(v)
	}
	return out.(T)
}
