package event

import (
	"testing"

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
