package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// deliver writes what a command makes to the file of its flag -o, or to the standard output when there is
// none. A file is there whole or as it was before, and a new one can be read by its owner only: it holds names.
// Links stay links, and devices and pipes are written to. What became of a file is said in a line, with a sum of it.
func (p *Program) deliver(content []byte, file, sum string) error {
	if file == "" || file == "-" || file == "/dev/stdout" {
		return p.print(string(content))
	}
	did := "wrote"
	was, err := os.Stat(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		err = replace(file, content, 0o600)
	case err == nil && ordinary(file, was):
		did, err = "replaced", replace(file, content, was.Mode().Perm())
	case err == nil:
		err = pour(file, content)
	}
	if err != nil {
		return failed(err)
	}
	if sum != "" {
		sum = ": " + sum
	}
	fmt.Fprintf(p.Stderr, "kinorder: %s %s%s\n", did, printable(file), sum)
	return nil
}

// fitting refuses the name of a file whose ending promises something else than what will be in it. A name without an
// ending promises nothing.
func fitting(output string, endings ...string) error {
	ending := strings.ToLower(filepath.Ext(output))
	if ending == "" || output == "-" || strings.HasPrefix(output, "/dev/") || slices.Contains(endings, ending) {
		return nil
	}
	return fmt.Errorf("-o %s: there is no %s to be had: end the name in %s", output, ending, strings.Join(endings, ", "))
}

// ordinary reports whether a file is one whose content can be lost: no device, no pipe, and no stream of this
// process under another name.
func ordinary(file string, is fs.FileInfo) bool {
	return is.Mode().IsRegular() && !strings.HasPrefix(file, "/dev/") && !strings.HasPrefix(file, "/proc/")
}

func pour(file string, content []byte) error {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	return errors.Join(err, f.Close())
}

// replace puts content in the place of a file, or of what a link leads to, by way of another file beside it.
func replace(file string, content []byte, mode fs.FileMode) error {
	if led, err := filepath.EvalSymlinks(file); err == nil {
		file = led
	} else if led, err := os.Readlink(file); err == nil { // to where there is no file yet
		if !filepath.IsAbs(led) {
			led = filepath.Join(filepath.Dir(file), led)
		}
		file = led
	}
	f, err := os.CreateTemp(filepath.Dir(file), "."+filepath.Base(file)+".*")
	if err != nil {
		return named(err, file)
	}
	_, err = f.Write(content)
	err = errors.Join(err, f.Chmod(mode), f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), file)
	}
	if err != nil {
		return errors.Join(named(err, file), os.Remove(f.Name()))
	}
	return nil
}

// named says an error of a temporary file as one of the file that was asked for.
func named(err error, file string) error {
	if e := new(fs.PathError); errors.As(err, &e) {
		return &fs.PathError{Op: "write", Path: file, Err: e.Err}
	}
	return err
}

// apart refuses an output that is one of the files that are read, by whatever name; those of the flags of a server
// are read too.
func (p *Program) apart(output string, o serverFlags, inputs ...string) error {
	out, err := os.Stat(output)
	if err != nil || !ordinary(output, out) {
		return nil
	}
	for _, input := range append(inputs, o.secretFile, o.caFile) {
		in, err := os.Stat(input)
		if stdin, ok := p.Stdin.(*os.File); ok && input == "-" {
			in, err = stdin.Stat()
		}
		if err == nil && os.SameFile(in, out) {
			return invalid(fmt.Errorf("-o %s is the file that is read: name another, so that what you wrote is not lost", output))
		}
	}
	return nil
}
