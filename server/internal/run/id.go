package run

import (
	"crypto/rand"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"time"
)

// NewID makes a UUID of version 7 (RFC 9562, section 5.7): 48 bits of milliseconds, then random.
func NewID(at time.Time) string {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails, as its documentation says
	var ms [8]byte
	binary.BigEndian.PutUint64(ms[:], uint64(at.UnixMilli()))
	copy(b[:6], ms[2:])
	b[6] = 0x70 | b[6]&0x0f
	b[8] = 0x80 | b[8]&0x3f
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:])
}

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
