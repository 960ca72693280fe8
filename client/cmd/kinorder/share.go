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

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// shareFlags are the flags of share.
type shareFlags struct {
	serverFlags
	role    choice[kinorderv1.Role]
	whose   string
	expires duration
	list    bool
	revoke  string
	page    string
	asJSON  bool
}

func (p *Program) shareCommand() *cobra.Command {
	o := &shareFlags{
		expires: duration{span: 30 * 24 * time.Hour, flag: "--expires", example: "3d", zero: true},
		role:    byName[kinorderv1.Role]("owner", "lead", "reader", "family", "couple"),
	}
	c := &cobra.Command{
		Use:   "share EVENT",
		Short: "Give somebody access to an event",
		Long: `Share makes a link to an event and prints its secret, which cannot be asked for again.
Anybody who has it may do what the role allows: an owner (planner) plans; a lead photographer sees
everything and marks what happens; a reader (caller or finder) sees sheets without private notes or rules; a
family writes which photos it would like, and sees nothing of the event; a couple says who is who and which
photos it would like, and sees no notes and no rules of others.

The address that it prints opens the page of the day in a browser, on a phone too. --page is
where the server has its pages, as serve printed it; without it that is the machine of --server,
at the port that the server says. The secret stands behind a #, which browsers send to nobody. On a
terminal the address is drawn as a QR code too, for the camera of a phone.`,
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
				return errors.New("say with --role what the link is for: owner, lead, reader, family or couple")
			}
			return p.share(c.Context(), eventName(args[0]), o)
		},
	}
	o.add(c, keptThere)
	f := c.Flags()
	f.Var(&o.role, "role", "what the link is for: owner, lead, reader, family or couple")
	f.StringVar(&o.whose, "for", "", "`NAME` of the person the link is for, as --list shows it")
	f.Var(&o.expires, "expires", "the link ends after this `TIME`, such as 3d or 12h; 0 means never")
	f.BoolVar(&o.asJSON, "json", false, jsonHelp)
	f.BoolVar(&o.list, "list", false, "list the links of the event")
	f.StringVar(&o.page, "page", "", "the `ADDRESS` of the server's pages, as serve printed it")
	f.StringVar(&o.revoke, "revoke", "", "revoke this `LINK`")
	o.role.complete(c, "role")
	return c
}

func (p *Program) share(ctx context.Context, event string, o *shareFlags) error {
	if o.page != "" && !pageForm(o.page) {
		return invalid(fmt.Errorf("--page %s: write where the server has its pages, for example https://192.168.1.20:7466", o.page))
	}
	conn, err := p.connect(o.serverFlags)
	if err != nil {
		return err
	}
	o.address = p.address // also where the environment names it
	switch {
	case o.list:
		return p.links(ctx, conn, event, o)
	case o.revoke != "":
		name := o.revoke
		if !strings.Contains(name, "/") {
			name = event + "/links/" + name
		}
		l, err := conn.RevokeLink(ctx, name)
		if err != nil {
			return p.refused(err)
		}
		return p.said(o.asJSON, l, linkLine(l))
	}
	var expires time.Time
	if o.expires.span > 0 {
		expires = time.Now().Add(o.expires.span)
	}
	l, err := conn.CreateLink(ctx, event, o.role.value(), o.whose, expires)
	if err != nil {
		return p.refused(err)
	}
	open, drawn := "the server has no pages (serve --http)", ""
	if page := o.pages(int(l.GetPagesPort())); page != "" {
		path := "/day/#"
		if r := l.GetRole(); r == kinorderv1.Role_ROLE_FAMILY || r == kinorderv1.Role_ROLE_COUPLE {
			path = "/enter#"
		}
		open = page + path + l.GetSecret()
		if !strings.HasPrefix(page, "http://localhost") && !strings.HasPrefix(page, "http://127.") { // no phone gets there
			drawn = p.qrLines(open)
		}
	}
	if err := p.said(o.asJSON, l, linkLine(l)+"secret: "+l.GetSecret()+"\nopen:   "+open+"\n"+drawn); err != nil {
		return err
	}
	p.warnOfEnd(ctx, conn, event, expires)
	return nil
}

// links lists the links of an event.
func (p *Program) links(ctx context.Context, conn *client.Client, event string, o *shareFlags) error {
	for l, err := range conn.Links(ctx, event) {
		if err != nil {
			return p.refused(err)
		}
		if err := p.said(o.asJSON, l, linkLine(l)); err != nil {
			return err
		}
	}
	return nil
}

// warnOfEnd says when a link has ended before the event is over.
func (p *Program) warnOfEnd(ctx context.Context, conn *client.Client, event string, expires time.Time) {
	if expires.IsZero() {
		return
	}
	kept, err := conn.Event(ctx, event)
	if err != nil {
		return // the link is made, and this was only advice
	}
	date := kept.GetEvent().GetDate()
	day, err := time.ParseInLocation(time.DateOnly, date, time.Local)
	if err != nil || expires.After(day.AddDate(0, 0, 2)) { // a party ends the day after, in whatever zone
		return
	}
	fmt.Fprintf(p.Stderr, "kinorder: this link ends on %s, and the event is on %s: make one with --expires %dd, and revoke this one\n",
		expires.Local().Format(time.DateOnly), date, int(time.Until(day).Hours()/24)+4)
}

// pageForm reports whether an address of pages can be used.
func pageForm(page string) bool {
	u, err := url.Parse(page)
	return err == nil && (u.Scheme == "http" || u.Scheme == "https") && u.Host != "" && strings.Trim(u.Path, "/") == ""
}

// pages is the address of the pages; empty when there are none, which port 0 says.
func (o *shareFlags) pages(port int) string {
	if o.page != "" {
		return strings.TrimRight(o.page, "/")
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
	return scheme + "://" + net.JoinHostPort(host, strconv.Itoa(port))
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
