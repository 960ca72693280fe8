package api

import (
	"context"
	"fmt"
	"strings"

	"google.golang.org/protobuf/types/known/emptypb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/webhook"
)

func webhookToWire(w store.Webhook) *kinorderv1.Webhook {
	return &kinorderv1.Webhook{
		Name: "webhooks/" + w.ID, Url: w.URL, Secret: w.Secret, CreateTime: instant(w.Created), FailTime: instant(w.Failed), Failure: text(w.Failure),
	}
}

// studioOnly refuses whoever has a link: an address hears of all events.
func studioOnly(ctx context.Context) error {
	if grant, _ := open(ctx); !grant.Studio {
		return errForbidden
	}
	return nil
}

// CreateWebhook answers Webhooks.CreateWebhook.
func (k *Keeper) CreateWebhook(ctx context.Context, req *kinorderv1.CreateWebhookRequest) (*kinorderv1.Webhook, error) {
	if err := studioOnly(ctx); err != nil {
		return nil, err
	}
	request, err := requestOf(req)
	if err != nil {
		return nil, err
	}
	address := req.GetWebhook().GetUrl()
	if err := webhook.Check(address, k.private); err != nil {
		return nil, invalidRequest("webhook.url", event.CodeBadAddress, err.Error())
	}
	w, err := k.store.CreateWebhook(ctx, request, address)
	return webhookToWire(w), err
}

// ListWebhooks answers Webhooks.ListWebhooks.
func (k *Keeper) ListWebhooks(ctx context.Context, req *kinorderv1.ListWebhooksRequest) (*kinorderv1.ListWebhooksResponse, error) {
	if err := studioOnly(ctx); err != nil {
		return nil, err
	}
	if p, err := page(req.GetPageSize(), req.GetPageToken()); err != nil {
		return nil, err
	} else if p.Token != "" { // all are on one page
		return nil, fmt.Errorf("list webhooks: %w", store.ErrToken)
	}
	list, err := k.store.Webhooks(ctx)
	return &kinorderv1.ListWebhooksResponse{Webhooks: each(list, webhookToWire)}, err
}

// DeleteWebhook answers Webhooks.DeleteWebhook.
func (k *Keeper) DeleteWebhook(ctx context.Context, req *kinorderv1.DeleteWebhookRequest) (*emptypb.Empty, error) {
	if err := studioOnly(ctx); err != nil {
		return nil, err
	}
	id, named := strings.CutPrefix(req.GetName(), "webhooks/")
	if !named || !store.ValidID(id) {
		return nil, invalidRequest("name", event.CodeBadName, "is not a name of the form webhooks/ID")
	}
	return &emptypb.Empty{}, k.store.DeleteWebhook(ctx, id)
}
