package store

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// Backup copies the store of a data folder into a new file, as of one moment, while others read and write it.
func Backup(ctx context.Context, folder, file string) error {
	path := filepath.Join(folder, FileName)
	if _, err := os.Stat(path); err != nil {
		return fmt.Errorf("store: back up: %w", err)
	}
	if _, err := os.Lstat(file); !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("store: back up: %s is there already", file)
	}
	db, err := openToRead(path)
	if err != nil {
		return fmt.Errorf("store: back up: %w", err)
	}
	defer db.Close()
	// Its owner only may read it, from the first byte.
	half := file + ".part"
	f, err := os.OpenFile(half, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return fmt.Errorf("store: back up: %w", err)
	}
	err = f.Close()
	if err == nil {
		_, err = db.ExecContext(ctx, `VACUUM INTO ?`, half)
	}
	if err == nil {
		err = os.Rename(half, file)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("store: back up: %w", err), os.Remove(half))
	}
	return nil
}

// Restore makes the store of a data folder out of a backup. There must be none yet. What an older version wrote is
// brought up to date.
func Restore(ctx context.Context, file, folder string) (err error) {
	path := filepath.Join(folder, FileName)
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return fmt.Errorf("store: restore: %w", err)
	}
	in, err := os.Open(file)
	if err != nil {
		return fmt.Errorf("store: restore: %w", err)
	}
	defer in.Close()
	for _, beside := range []string{"-wal", "-shm"} { // which would be read as part of it
		if _, err := os.Lstat(path + beside); !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("store: restore: %s is there already: move it away", path+beside)
		}
	}
	out, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("store: restore: %s is there already: name an empty folder, or move it away", path)
	}
	if err != nil {
		return fmt.Errorf("store: restore: %w", err)
	}
	_, err = io.Copy(out, in)
	if err = errors.Join(err, out.Sync(), out.Close()); err == nil {
		var s *Store
		if s, err = OpenSQLite(ctx, folder, Options{}); err == nil { // which says whether it is whole
			return s.Close()
		}
	}
	return errors.Join(fmt.Errorf("store: restore: %w", err), os.Remove(path))
}
