package main

import (
	"fmt"
	"net"
	"strings"
	"time"

	"kinorder.example/server"
)

// ownTrust tells whoever starts a server with its own certificate where phones find it and what to
// compare. The address for phones is drawn too.
func ownTrust(a *server.Authority, file string, address net.Addr, draw func(string) string) string {
	var out strings.Builder
	good, outside := a.Reachable()
	_, port, _ := net.SplitHostPort(address.String()) // a listener's own address
	if tcp, ok := address.(*net.TCPAddr); ok && !tcp.IP.IsUnspecified() {
		good, outside = []string{tcp.IP.String()}, nil
	}
	for i, host := range good {
		label := "The planner's page:"
		if i > 0 {
			label = "or:"
		}
		fmt.Fprintf(&out, "%-20s https://%s/\n", label, net.JoinHostPort(host, port))
	}
	for _, host := range outside {
		fmt.Fprintf(&out, "Not at %s: that is an address of the internet, for which no certificate of its own is made.\n", host)
	}
	if len(good) == 0 {
		out.WriteString("This machine has no address in a local network now. When it joins one, its pages are at port " + port + " there.\n")
	} else {
		trust := "https://" + net.JoinHostPort(good[0], port) + "/trust"
		fmt.Fprintf(&out, "%-20s %s\n%s", "On a new phone:", trust, draw(trust))
	}
	out.WriteString("What that phone installs has to have this SHA-256 fingerprint:\n")
	for _, group := range a.Fingerprint() {
		out.WriteString("  " + group + "\n")
	}
	fmt.Fprintf(&out, "Other programs trust it with --ca-file %s. It ends on %s.\n", file, a.Ends().Format(time.DateOnly))
	return out.String()
}
