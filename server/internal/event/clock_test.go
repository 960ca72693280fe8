package event

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// Years that no sheet can have are refused, and so is what lies beside the zones on a machine.
func TestClockRefusesWhatNoSheetCanHave(t *testing.T) {
	for _, zone := range []string{"posixrules", "localtime", "Local", "Factory", "right/UTC", "posix/Europe/Lisbon"} {
		_, err := Event{TimeZone: zone}.Location()
		assert.Error(t, err, zone)
	}
	for _, zone := range []string{"", "UTC", "Europe/Lisbon", "Etc/GMT+3", "EST5EDT"} {
		_, err := Event{TimeZone: zone}.Location()
		assert.NoError(t, err, zone)
	}
	for _, date := range []string{"9999-12-31", "1899-12-31"} {
		_, err := Event{Date: date}.Clock()
		assert.ErrorContains(t, err, "write one from 1900 to 9000")
	}
	for _, at := range []string{"0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z"} {
		_, err := Event{Date: "2027-05-15"}.Instant(at)
		assert.ErrorContains(t, err, "write one from 1900 to 9000")
	}
}

// A list closes where the event is, whatever day it is at the server.
func TestToday(t *testing.T) {
	now := time.Date(2026, 6, 20, 12, 0, 0, 0, time.UTC)
	assert.Equal(t, "2026-06-21", Event{TimeZone: "Pacific/Kiritimati"}.Today(now))
	assert.Equal(t, "2026-06-20", Event{TimeZone: "Pacific/Pago_Pago"}.Today(now))
	assert.Equal(t, now.Local().Format(time.DateOnly), Event{}.Today(now))
	assert.Equal(t, now.Local().Format(time.DateOnly), Event{TimeZone: "Nowhere"}.Today(now))
}
