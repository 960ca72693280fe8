package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// shareFlags are the flags of share.
type shareFlags struct {
	serverFlags
	role    choice[kinorderv1.Role]
	whose   string
	expires time.Duration
	list    bool
	revoke  string
	page    string
}

func (p *Program) shareCommand() *cobra.Command {
	o := &shareFlags{role: choice[kinorderv1.Role]{
		words:  []string{"owner", "lead", "reader"},
		values: []kinorderv1.Role{kinorderv1.Role_ROLE_OWNER, kinorderv1.Role_ROLE_LEAD, kinorderv1.Role_ROLE_READER},
	}}
	c := &cobra.Command{
		Use:   "share EVENT",
		Short: "Let somebody into an event",
		Long: `Share makes a link to an event and prints its secret, which cannot be asked for again.
Whoever has it may do what the role allows: an owner everything; a lead see everything and
mark what happens; a reader see sheets and runs without private notes and rules.

The address that it prints opens the page of the day in a browser, on a phone too. --page is
where the server has its pages, as serve printed it; without it that is the machine of --server,
at the port that the server says. The secret stands behind a #, which browsers send to nobody.`,
		Example: `  kinorder share ines-noor --role reader --for "Aunt Vera" --server localhost:7465
  kinorder share ines-noor --role lead --page https://192.168.1.20:7466 --server localhost:7465
  kinorder share ines-noor --list --server localhost:7465
  kinorder share ines-noor --revoke LINK --server localhost:7465`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			switch {
			case o.list && o.revoke != "":
				return errors.New("use --list or --revoke, not both")
			case !o.list && o.revoke == "" && o.role.word == "":
				return errors.New("say with --role what the link is for: owner, lead or reader")
			case o.expires < 0:
				return errors.New("--expires must be above 0, for example 72h; 0 means never")
			}
			return p.share(c.Context(), eventName(args[0]), o)
		},
	}
	o.add(c, keptThere)
	f := c.Flags()
	f.Var(&o.role, "role", "what the link is for: owner, lead or reader")
	f.StringVar(&o.whose, "for", "", "whose link it is, for the `LIST`")
	f.DurationVar(&o.expires, "expires", 30*24*time.Hour, "the link ends after this time; 0 means never")
	f.BoolVar(&o.list, "list", false, "list the links of the event")
	f.StringVar(&o.page, "page", "", "the `ADDRESS` of the server's pages, as serve printed it")
	f.StringVar(&o.revoke, "revoke", "", "make the secret of this `LINK` worthless")
	o.role.complete(c, "role")
	return c
}

func (p *Program) share(ctx context.Context, event string, o *shareFlags) error {
	conn, err := p.connect(o.serverFlags)
	if err != nil {
		return err
	}
	switch {
	case o.list:
		for l, err := range conn.Links(ctx, event) {
			if err != nil {
				return p.refused(err)
			}
			if err := p.print(linkLine(l)); err != nil {
				return err
			}
		}
		return nil
	case o.revoke != "":
		name := o.revoke
		if !strings.Contains(name, "/") {
			name = event + "/links/" + name
		}
		l, err := conn.RevokeLink(ctx, name)
		if err != nil {
			return p.refused(err)
		}
		return p.print(linkLine(l))
	}
	if o.page != "" && !pageForm(o.page) {
		return invalid(fmt.Errorf("--page %s: write where the server has its pages, for example https://192.168.1.20:7466", o.page))
	}
	var expires time.Time
	if o.expires > 0 {
		expires = time.Now().Add(o.expires)
	}
	l, err := conn.CreateLink(ctx, event, o.role.value(), o.whose, expires)
	if err != nil {
		return p.refused(err)
	}
	open := "the server has no pages (serve --http)"
	if page := o.dayPage(int(l.GetPagesPort())); page != "" {
		open = page + l.GetSecret()
	}
	return p.print(linkLine(l) + "secret: " + l.GetSecret() + "\nopen:   " + open + "\n")
}

// pageForm reports whether an address of pages can be used.
func pageForm(page string) bool {
	u, err := url.Parse(page)
	return err == nil && (u.Scheme == "http" || u.Scheme == "https") && u.Host != "" && strings.Trim(u.Path, "/") == ""
}

// dayPage is the address of the page of the day, up to the secret; empty when there is none, which port 0 says.
func (o *shareFlags) dayPage(port int) string {
	if o.page != "" {
		return strings.TrimRight(o.page, "/") + "/day/#"
	}
	if port == 0 {
		return ""
	}
	first, _, _ := strings.Cut(o.address, ",")
	_, address, encrypted := strings.Cut(first, "https://")
	if !encrypted {
		address = strings.TrimPrefix(first, "http://")
	}
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		host = address
	}
	scheme := "https"
	if ip := net.ParseIP(host); !encrypted && (host == "localhost" || ip != nil && ip.IsLoopback()) {
		scheme = "http"
	}
	return scheme + "://" + net.JoinHostPort(host, strconv.Itoa(port)) + "/day/#"
}

func linkLine(l *kinorderv1.Link) string {
	role := strings.ToLower(strings.TrimPrefix(l.GetRole().String(), "ROLE_"))
	state := "does not expire"
	if l.GetExpireTime() != nil {
		state = "until " + l.GetExpireTime().AsTime().Local().Format("2006-01-02 15:04")
	}
	if l.GetRevokeTime() != nil {
		state = "revoked"
	}
	line := fmt.Sprintf("%s  %s  %s", l.GetName(), role, state)
	if l.GetDisplayName() != "" {
		line += "  " + printable(l.GetDisplayName())
	}
	return line + "\n"
}
