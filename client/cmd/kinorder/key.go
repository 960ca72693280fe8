package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"kinorder.example/server"
)

// studioKey reads the key from a file. In a data folder it makes one where there is none. A file that
// every user of the machine can read is refused, as ssh does with its keys; a group may read it, because
// services get their secrets so.
func studioKey(file, data string) (key, from string, err error) {
	if file == "" && data == "" {
		return "", "", invalid(errors.New("--postgres needs --key-file: a file with a secret of at least 22 characters that opens every event, the same for every server on the database"))
	}
	if file == "" {
		if file, err = server.MakeStudioKey(data); err != nil {
			return "", "", failed(err)
		}
	}
	info, err := os.Stat(file)
	if err != nil {
		return "", "", failed(err)
	}
	folder, err := os.Stat(filepath.Dir(file))
	if err != nil {
		return "", "", failed(err)
	}
	if mode := folder.Mode(); mode.Perm()&0o002 != 0 && mode&os.ModeSticky == 0 && runtime.GOOS != "windows" {
		return "", "", invalid(fmt.Errorf("%s: every user of this machine can put another studio key in this folder: run chmod o-w %[1]s", filepath.Dir(file)))
	}
	if info.Mode().Perm()&0o007 != 0 && info.Mode().IsRegular() && runtime.GOOS != "windows" { // which has no such bits
		return "", "", invalid(fmt.Errorf("%s: every user of this machine can read or change the studio key: run chmod o= %[1]s, or delete it and make a new one if they should not have seen it", file))
	}
	key, err = readSecret(file)
	if err != nil && info.Size() == 0 && filepath.Base(file) == server.KeyFile {
		err = invalid(fmt.Errorf("%s is empty: the disk may have been full when it was made; delete it, and serve --data makes a new one", file))
	}
	return key, file, err
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
