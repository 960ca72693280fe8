package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"os"
	"os/exec"
	"path/filepath"
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

// alone are the flags of the program without a command.
type alone struct {
	data      string
	ephemeral bool
}

// openPage serves the planner's page to this machine and opens it, signed in to what is kept, until it is interrupted.
// The usual port may be taken by another that was opened before.
func (p *Program) openPage(ctx context.Context, a alone) error {
	o := serveFlags{address: off, pages: server.DefaultPages, metrics: off, logLevel: slog.LevelWarn, browse: true}
	switch {
	case a.ephemeral && a.data != "":
		return invalid(errors.New("--ephemeral keeps nothing, so there is no folder to name with --data"))
	case !a.ephemeral:
		o.data = a.data
		if o.data == "" {
			var err error
			if o.data, err = dataFolder(os.Getenv); err != nil {
				return failed(fmt.Errorf("%w: name a folder with --data, or keep nothing with --ephemeral", err))
			}
		}
	}
	err := p.serve(ctx, o)
	if taken := new(net.OpError); errors.As(err, &taken) && taken.Op == "listen" {
		o.pages = "127.0.0.1:0"
		err = p.serve(ctx, o)
	}
	return err
}

// phonesPort is where phones come in, unless it is taken.
const phonesPort = "7468"

// letPhonesIn listens on every address of this machine, encrypted by the authority of the data folder.
func (p *Program) letPhonesIn(ctx context.Context, data string) func() (net.Listener, *server.Authority, error) {
	return func() (net.Listener, *server.Authority, error) {
		authority, err := server.OpenAuthority(data)
		if err != nil {
			return nil, nil, err
		}
		at := listenOptions{authority: authority}
		lis, err := p.listen(ctx, "--http", ":"+phonesPort, server.DefaultPages, at)
		if err != nil {
			lis, err = p.listen(ctx, "--http", ":0", server.DefaultPages, at)
		}
		return lis, authority, err
	}
}

// dataFolder is where a user's events are kept unless another folder is named: where the system has programs keep data.
func dataFolder(env func(string) string) (string, error) {
	if named := env("KINORDER_DATA"); named != "" {
		return named, nil
	}
	home, err := os.UserHomeDir()
	switch runtime.GOOS {
	case "windows":
		if local := env("LocalAppData"); local != "" {
			return filepath.Join(local, "kinorder"), nil
		}
		return filepath.Join(home, "AppData", "Local", "kinorder"), err
	case "darwin":
		return filepath.Join(home, "Library", "Application Support", "kinorder"), err
	}
	if data := env("XDG_DATA_HOME"); filepath.IsAbs(data) {
		return filepath.Join(data, "kinorder"), nil
	}
	return filepath.Join(home, ".local", "share", "kinorder"), err
}
