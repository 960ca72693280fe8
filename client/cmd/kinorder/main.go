// Command kinorder turns the people and wanted group photographs of an event into a call sheet.
// "kinorder help" says how it is used.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"
	"golang.org/x/term"
)

func main() {
	interrupts := make(chan os.Signal)
	go func() {
		wished := make(chan os.Signal, 1)
		signal.Notify(wished, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
		for range 2 {
			interrupts <- <-wished
		}
		signal.Stop(wished) // from now on the system ends what cannot end itself, such as reading a pipe that nobody writes
	}()
	cobra.MousetrapHelpText = "" // a double click opens the page, as the command alone does
	p := &Program{
		Open:       openBrowser,
		Stdin:      os.Stdin,
		Stdout:     os.Stdout,
		Stderr:     os.Stderr,
		Interrupts: interrupts,
		Live:       term.IsTerminal(int(os.Stderr.Fd())) && os.Getenv("TERM") != "dumb", // which can write over no line
	}
	if width, _, err := term.GetSize(int(os.Stdout.Fd())); err == nil {
		p.Width = width
	}
	code := p.Run(context.Background(), os.Args[1:])
	if err := p.Close(); err != nil {
		fmt.Fprintln(os.Stderr, "kinorder:", err)
		code = max(code, exitFailed)
	}
	os.Exit(code)
}
