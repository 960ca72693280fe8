package server

import (
	"crypto/rand"
	"encoding/base64"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"kinorder.example/server/internal/authority"
)

// KeyFile is where a data folder has its studio key.
const KeyFile = "studio.key"

// MakeStudioKey makes a studio key of 128 random bits in a data folder that has none, whole or not at all
// and readable by its owner only, and returns the file.
func MakeStudioKey(folder string) (string, error) {
	file := filepath.Join(folder, KeyFile)
	if _, err := os.Stat(file); !errors.Is(err, fs.ErrNotExist) {
		return file, err
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return file, err
	}
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails, as its documentation says
	return file, authority.WriteNew(file, []byte(base64.RawURLEncoding.EncodeToString(b[:])+"\n"))
}
