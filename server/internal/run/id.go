package run

import (
	"encoding/hex"
)

// validID reports whether s is a UUID of version 7 in its lower-case text form.
func validID(s string) bool {
	if len(s) != 36 || s[8] != '-' || s[13] != '-' || s[18] != '-' || s[23] != '-' {
		return false
	}
	for _, r := range s {
		if r >= 'A' && r <= 'F' {
			return false
		}
	}
	b, err := hex.DecodeString(s[:8] + s[9:13] + s[14:18] + s[19:23] + s[24:])
	return err == nil && b[6]>>4 == 7 && b[8]>>6 == 2
}
