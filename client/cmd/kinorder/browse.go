package main

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"os/exec"
	"runtime"

	"kinorder.example/server"
)

// openBrowser shows an address in the user's browser.
func openBrowser(address string) error {
	switch runtime.GOOS {
	case "windows":
		return exec.Command("rundll32", "url.dll,FileProtocolHandler", address).Start()
	case "darwin":
		return exec.Command("open", address).Start()
	}
	return exec.Command("xdg-open", address).Start()
}

// openPage serves the planner's page to this machine and opens it, until it is interrupted. The usual port may be
// taken by another that was opened before.
func (p *Program) openPage(ctx context.Context) error {
	o := serveFlags{address: off, pages: server.DefaultPages, metrics: off, logLevel: slog.LevelWarn, browse: true}
	err := p.serve(ctx, o)
	if taken := new(net.OpError); errors.As(err, &taken) && taken.Op == "listen" {
		o.pages = "127.0.0.1:0"
		err = p.serve(ctx, o)
	}
	return err
}
