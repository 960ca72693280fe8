package client

import (
	"context"
	"iter"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// CreateWebhook has an address told when a sheet is made and when a run begins and ends. The answer has the secret by which
// what is sent is signed, and it cannot be asked for again. It needs the studio key.
func (c *Client) CreateWebhook(ctx context.Context, url string, options ...CreateOption) (*kinorderv1.Webhook, error) {
	o := created(options)
	return again(ctx, func() (*kinorderv1.Webhook, error) {
		return c.hooks.CreateWebhook(ctx, &kinorderv1.CreateWebhookRequest{Webhook: &kinorderv1.Webhook{Url: url}, RequestId: o.request})
	})
}

// Webhooks yields the addresses, oldest first.
func (c *Client) Webhooks(ctx context.Context) iter.Seq2[*kinorderv1.Webhook, error] {
	return listed(func(token string) ([]*kinorderv1.Webhook, string, error) {
		r, err := c.hooks.ListWebhooks(ctx, &kinorderv1.ListWebhooksRequest{PageToken: token})
		return r.GetWebhooks(), r.GetNextPageToken(), err
	})
}

// DeleteWebhook forgets an address, with what it has not been told.
func (c *Client) DeleteWebhook(ctx context.Context, name string) error {
	_, err := c.hooks.DeleteWebhook(ctx, &kinorderv1.DeleteWebhookRequest{Name: name})
	return Explain(err)
}
