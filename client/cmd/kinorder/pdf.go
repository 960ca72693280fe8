package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"time"
)

// printTime is how long a browser may take to print a page.
const printTime = 2 * time.Minute

// browsers are the names under which Chromium and what is built on it are installed.
var browsers = []string{
	"chromium", "chromium-browser", "google-chrome-stable", "google-chrome", "chrome", "microsoft-edge-stable", "microsoft-edge", "msedge",
	"/Applications/Chromium.app/Contents/MacOS/Chromium",
	"/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
	"/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
	`C:\Program Files\Google\Chrome\Application\chrome.exe`,
	`C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe`,
}

// findBrowser returns a program that prints pages to PDF. The error says what to do without one.
func findBrowser() (string, error) {
	for _, name := range browsers {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", errors.New("PDF is printed by Chromium, and there is none on this machine: install Chromium or Chrome so that it is on the PATH, " +
		"or write the page with --format html and print it to PDF from any browser")
}

// printing begins the names of the folders in which pages are printed.
const printing = "kinorder-print-"

// sweep removes folders that a process left behind that was killed: they hold names. The age spares those of others
// that are still printing.
func sweep() {
	left, err := filepath.Glob(filepath.Join(os.TempDir(), printing+"*"))
	if err != nil {
		return // the pattern is right
	}
	for _, dir := range left {
		if is, err := os.Lstat(dir); err == nil && is.IsDir() && time.Since(is.ModTime()) > time.Hour {
			_ = os.RemoveAll(dir) // it may be somebody else's
		}
	}
}

// printed prints a page to PDF. The browser gets a profile of its own, no network and no more time
// than printTime; what it needs lies in a folder that others cannot read and that is removed.
func (p *Program) printed(page []byte) (pdf []byte, err error) {
	browser, err := findBrowser()
	if err != nil {
		return nil, failed(err)
	}
	sweep()
	dir, err := os.MkdirTemp("", printing+"*")
	if err != nil {
		return nil, failed(err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	source, target := filepath.Join(dir, "sheet.html"), filepath.Join(dir, "sheet.pdf")
	if err := os.WriteFile(source, page, 0o600); err != nil {
		return nil, failed(err)
	}
	ctx, cancel := context.WithTimeout(p.hard, printTime)
	defer cancel()
	args := []string{
		"--headless", "--disable-gpu", "--disable-quic", "--no-first-run", "--no-default-browser-check", "--disable-extensions",
		"--disable-background-networking", "--disable-component-update", "--disable-sync",
		"--host-resolver-rules=MAP * ~NOTFOUND", "--user-data-dir=" + filepath.Join(dir, "profile"),
		"--no-pdf-header-footer", "--print-to-pdf=" + target,
	}
	if os.Geteuid() == 0 {
		// Chromium does not start its sandbox for root. The page is ours and runs no script.
		args = append(args, "--no-sandbox")
	}
	address := url.URL{Scheme: "file", Path: filepath.ToSlash(source)}
	command := exec.CommandContext(ctx, browser, append(args, address.String())...)
	command.WaitDelay = 5 * time.Second
	if err := command.Run(); err != nil {
		if ctx.Err() != nil {
			err = ctx.Err()
		}
		return nil, failed(fmt.Errorf("%s could not print the page (%w): write it with --format html and print it from a browser", browser, err))
	}
	pdf, err = os.ReadFile(target)
	if err != nil || !bytes.HasPrefix(pdf, []byte("%PDF-")) {
		return nil, failed(fmt.Errorf("%s wrote no PDF: write the page with --format html and print it from a browser", browser))
	}
	return pdf, nil
}
