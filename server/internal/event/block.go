package event

import (
	"cmp"

	"kinorder.example/server/internal/wording"
)

// Block is a stretch of time at a place with a photographer.
type Block struct {
	ID           string
	Title        string
	Place        string
	Opens        string // HH:MM or RFC 3339
	Closes       string // HH:MM or RFC 3339; empty means open-ended
	Closing      Closing
	Overrun      *int // minutes that a soft block may run over; nil means a tenth of it, at most 5
	Photographer string
	Capacity     int // 0 means any number
	StepFree     bool
	Light        Light
	// Latitude and Longitude are where the block is; nil means where the event is.
	Latitude, Longitude *float64
	Facing              string // where the camera looks, a compass point or degrees; empty means not known
	Indoors             bool
	StandBackCM         int // how far the camera can stand back from the front row; 0 means no limit
	Space               Space
}

// Named is what to call the block inside a sentence.
func (b Block) Named() wording.Message {
	if name := cmp.Or(b.Title, b.Place, b.ID); name != "" {
		return wording.Said(name)
	}
	return wording.Say("plan.theBlock2")
}

// Subject begins a sentence with the block, or with the time when the event has no blocks.
func (b Block) Subject() wording.Message {
	if b.ID == "" {
		return wording.Say("plan.theTime")
	}
	return wording.Say("plan.theBlock", Quoted(cmp.Or(b.Title, b.Place, b.ID)))
}

// Closing says whether a block may run over its end.
type Closing int

// The closings. The zero value is soft.
const (
	SoftClosing Closing = iota
	FirmClosing
)

// Light says how much light there is for group photographs.
type Light int

// The lights. The zero value is good.
const (
	GoodLight Light = iota
	DimLight
)

// Walk says how long it takes to walk between two places, either way.
type Walk struct {
	From    string // the place of a block
	To      string // the place of a block
	Minutes int
}
