package main

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// duration is a flag that takes a time: as Go writes it, in days, or in seconds when it has no unit.
type duration struct {
	span          time.Duration
	flag, example string
	most          time.Duration // 0 means as long as you like
	zero          bool          // 0 may be given
}

// searchTime is the flag of how long to search: long enough for most weddings to be proven, so that sheets printed one after the other
// have one order.
func searchTime() duration {
	return duration{span: 5 * time.Second, flag: "--budget", example: "5s", most: 10 * time.Minute}
}

// String, Set and Type make it a flag.
func (d *duration) String() string {
	switch {
	case d.span == 0:
		return ""
	case d.span%(24*time.Hour) == 0:
		return fmt.Sprintf("%dd", d.span/(24*time.Hour))
	}
	return d.span.String()
}

// Set reads a time.
func (d *duration) Set(text string) error {
	span, err := readDuration(text)
	switch {
	case err != nil:
		return fmt.Errorf("write a time such as %s; a number alone is seconds", d.example)
	case span < 0 || span == 0 && !d.zero:
		return fmt.Errorf("%s must be above 0, for example %s", d.flag, d.example)
	case d.most > 0 && span > d.most:
		return fmt.Errorf("%s can be %.0fm at most", d.flag, d.most.Minutes())
	}
	d.span = span
	return nil
}

// Type is shown in the help.
func (d *duration) Type() string { return "TIME" }

func readDuration(text string) (time.Duration, error) {
	if seconds, err := strconv.ParseFloat(text, 64); err == nil {
		text = strconv.FormatFloat(seconds, 'f', -1, 64) + "s" // refuses what is no number and what is too long
	}
	whole, hours, found := strings.Cut(text, "d")
	if !found {
		return time.ParseDuration(text)
	}
	days, err := strconv.ParseUint(whole, 10, 16)
	if err != nil {
		return 0, err
	}
	span := time.Duration(days) * 24 * time.Hour
	if hours == "" {
		return span, nil
	}
	rest, err := time.ParseDuration(hours)
	return span + rest, err
}
