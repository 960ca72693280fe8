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

// parts are the files of a data folder, below it: one, and with studios that of each and the list of them.
func (p Place) parts(ctx context.Context) ([]string, error) {
	parts := []string{FileName}
	list, err := p.Studios(ctx, false)
	if err != nil || list == nil {
		return parts, err
	}
	all, err := list.List(ctx)
	for _, s := range all {
		file := filepath.Join(studiosFolder, s.Name, FileName)
		if _, err := os.Stat(filepath.Join(p.Data, file)); err == nil { // else nobody has used it yet
			parts = append(parts, file)
		}
	}
	return append(parts, filepath.Join(studiosFolder, listFile)), errors.Join(err, list.Close())
}

// Backup copies all of a data folder into a new file, as of one moment, while others read and write it. Where there are
// studios it makes a folder with a file for each, each as of one moment.
func (p Place) Backup(ctx context.Context, file string) error {
	parts, err := p.parts(ctx)
	if err != nil {
		return fmt.Errorf("store: back up: %w", err)
	}
	if len(parts) == 1 {
		return backup(ctx, filepath.Join(p.Data, FileName), file)
	}
	if err := os.Mkdir(file, 0o700); err != nil {
		return fmt.Errorf("store: back up: %w", err)
	}
	for _, part := range parts {
		if err := os.MkdirAll(filepath.Dir(filepath.Join(file, part)), 0o700); err != nil {
			return fmt.Errorf("store: back up: %w", err)
		}
		if err := backup(ctx, filepath.Join(p.Data, part), filepath.Join(file, part)); err != nil {
			return err
		}
	}
	return nil
}

// Restore makes a data folder out of what Backup wrote. Nothing may be kept there yet.
func (p Place) Restore(ctx context.Context, file string) error {
	if info, err := os.Stat(file); err != nil || !info.IsDir() {
		return restore(ctx, file, p.Data, FileName)
	}
	parts, err := Place{Data: file}.parts(ctx)
	if err != nil {
		return fmt.Errorf("store: restore: %w", err)
	}
	for _, part := range parts { // the list is the last: until then no studio can be asked for
		if err := restore(ctx, filepath.Join(file, part), filepath.Dir(filepath.Join(p.Data, part)), filepath.Base(part)); err != nil {
			return err
		}
	}
	list, err := p.Studios(ctx, true) // which says whether it is whole
	if err != nil {
		return fmt.Errorf("store: restore: %w", err)
	}
	return errors.Join(folders(ctx, p, list), list.Close())
}

// folders makes those of studios that nobody has used yet.
func folders(ctx context.Context, p Place, list *Studios) error {
	all, err := list.List(ctx)
	for _, s := range all {
		err = errors.Join(err, os.MkdirAll(p.folder(s.Name), 0o700))
	}
	return err
}

// backup copies a file.
func backup(ctx context.Context, path, file string) error {
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

// restore makes a file of a folder out of a backup. There must be none yet. What an older version wrote is
// brought up to date.
func restore(ctx context.Context, file, folder, name string) (err error) {
	path := filepath.Join(folder, name)
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
	if err = errors.Join(err, out.Sync(), out.Close()); err == nil && name == FileName {
		var s *Store
		if s, err = OpenSQLite(ctx, folder, Options{}); err == nil { // which says whether it is whole
			return s.Close()
		}
	}
	if err == nil {
		return nil
	}
	return errors.Join(fmt.Errorf("store: restore: %w", err), os.Remove(path))
}
