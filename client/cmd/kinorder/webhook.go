package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"kinorder.example/client"
)

func (p *Program) webhookCommand() *cobra.Command {
	var o serverFlags
	var asJSON bool
	root := &cobra.Command{
		Use:   "webhook",
		Short: "Have programs told of new sheets and of days that begin and end",
		Long: `Webhook gives addresses to a server that it tells when a sheet is made and when a run begins and
ends. What is sent is signed by a secret that add prints, after standardwebhooks.com, and holds the
name of the sheet or run, nothing else. It needs the studio key.`,
		Example: `  kinorder webhook add https://studio.example/told --server localhost:7465
  kinorder webhook list --server localhost:7465
  kinorder webhook remove 6rth75v54xvmbwoz --server localhost:7465`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error { return errors.New("name what to do: add, list or remove") },
	}
	o.add(root, keptThere)
	root.PersistentFlags().BoolVar(&asJSON, "json", false, jsonHelp)
	command := func(use, short string, do func(ctx context.Context, conn *client.Client, arg string) error) {
		root.AddCommand(&cobra.Command{Use: use, Short: short, Args: cobra.ExactArgs(strings.Count(use, " ")), RunE: func(c *cobra.Command, args []string) error {
			conn, err := p.connect(o)
			if err != nil {
				return err
			}
			return do(c.Context(), conn, append(args, "")[0])
		}})
	}
	command("add URL", "Have an address told, and print its secret, this once", func(ctx context.Context, conn *client.Client, url string) error {
		w, err := conn.CreateWebhook(ctx, url)
		if err != nil {
			return p.refused(err)
		}
		return p.said(asJSON, w, fmt.Sprintf("%s\nsecret: %s\n", w.GetName(), w.GetSecret()))
	})
	command("list", "List the addresses, and whether what is sent arrives", func(ctx context.Context, conn *client.Client, _ string) error {
		for w, err := range conn.Webhooks(ctx) {
			if err != nil {
				return p.refused(err)
			}
			state := "arrives"
			if w.GetFailTime() != nil {
				state = "fails since " + w.GetFailTime().AsTime().Local().Format("2006-01-02 15:04") + ": " + printable(w.GetFailure())
			}
			if err := p.said(asJSON, w, fmt.Sprintf("%s  %s  %s\n", w.GetName(), printable(w.GetUrl()), state)); err != nil {
				return err
			}
		}
		return nil
	})
	command("remove ID", "Tell an address nothing more", func(ctx context.Context, conn *client.Client, id string) error {
		name := "webhooks/" + strings.TrimPrefix(id, "webhooks/")
		if err := conn.DeleteWebhook(ctx, name); err != nil {
			return p.refused(err)
		}
		return p.print("removed " + name + "\n")
	})
	return root
}
