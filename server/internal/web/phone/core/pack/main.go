// Pack writes what it reads packed by brotli, for what is packed once and handed out often.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"

	"github.com/andybalholm/brotli"
)

// widest is the largest window that browsers have room for, as a power of two.
const widest = 24

func main() {
	if err := pack(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "pack:", err)
		os.Exit(1)
	}
}

func pack(args []string) error {
	if len(args) != 1 {
		return errors.New("say how well, from 0 to 11")
	}
	quality, err := strconv.Atoi(args[0])
	if err != nil {
		return err
	}
	w := brotli.NewWriterOptions(os.Stdout, brotli.WriterOptions{Quality: quality, LGWin: widest})
	_, err = io.Copy(w, os.Stdin)
	return errors.Join(err, w.Close())
}
