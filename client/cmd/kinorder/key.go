package main

import (
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// keyName is the file of the studio key in a data folder.
const keyName = "studio.key"

// studioKey reads the key from a file. In a data folder it makes one where there is none, readable by
// its owner only.
func studioKey(file, data string) (key, from string, err error) {
	if file == "" && data == "" {
		return "", "", invalid(errors.New("--postgres needs --key-file: a file with a secret of at least 22 characters that opens every event, the same for every server on the database"))
	}
	if file == "" {
		file = filepath.Join(data, keyName)
		if err := makeKey(data, file); err != nil {
			return "", "", failed(err)
		}
	}
	key, err = readSecret(file)
	return key, file, err
}

func makeKey(folder, file string) error {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return err
	}
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails, as its documentation says
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	_, err = f.WriteString(base64.RawURLEncoding.EncodeToString(b[:]) + "\n")
	return errors.Join(err, f.Close())
}

// readSecret reads the first line of a file.
func readSecret(file string) (string, error) {
	content, err := os.ReadFile(file)
	if err != nil {
		return "", failed(err)
	}
	line, _, _ := strings.Cut(string(content), "\n")
	if line = strings.TrimSpace(line); line == "" {
		return "", invalid(fmt.Errorf("%s: its first line has to be the secret", file))
	}
	return line, nil
}
