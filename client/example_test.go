package client_test

import (
	"context"
	"errors"
	"fmt"
	"log"
	"time"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

func ExampleClient_Plan() {
	c, err := client.Dial(address)
	if err != nil {
		log.Fatal(err)
	}
	defer c.Close()
	event := &kinorderv1.Event{
		People: []*kinorderv1.Person{
			{Id: "ann", Name: "Ann Lindqvist"},
			{Id: "bo", Name: "Bo Lindqvist"},
			{Id: "rosa", Name: "Rosa Lindqvist", AgeBand: kinorderv1.AgeBand_AGE_BAND_ELDER},
		},
		Groupings: []*kinorderv1.Grouping{
			{Id: "all", Members: []string{"ann", "bo", "rosa"}},
			{Id: "couple", Members: []string{"ann", "bo"}},
		},
	}
	sheet, err := c.Plan(context.Background(), event, client.PlanOptions{Budget: time.Second})
	var refused *client.Error
	switch {
	case errors.As(err, &refused):
		log.Fatalf("%s: %s", refused.Reason, refused) // says what to change
	case err != nil:
		log.Fatal(err)
	}
	for _, entry := range sheet.GetBlocks()[0].GetEntries() {
		fmt.Println(entry.GetTitle(), entry.GetMinutes(), "minutes, call", entry.GetStepIn())
	}
	// Output:
	// Ann Lindqvist, Bo Lindqvist & Rosa Lindqvist 6.1 minutes, call [ann bo rosa]
	// Ann Lindqvist & Bo Lindqvist 0.5 minutes, call []
}

// A list as people write it becomes an event, and the event a page to print.
func ExampleClient_Render() {
	c, err := client.Dial(address)
	if err != nil {
		log.Fatal(err)
	}
	defer c.Close()
	ctx := context.Background()
	event, _, err := c.Import(ctx, []byte("Guests:\nAnn\nBo\nCy\n\n1. Ann + Bo + Cy\n2. Ann + Bo\n"), kinorderv1.ImportFormat_IMPORT_FORMAT_UNSPECIFIED)
	if err != nil {
		log.Fatal(err)
	}
	sheet, err := c.Plan(ctx, event, client.PlanOptions{})
	if err != nil {
		log.Fatal(err)
	}
	page, err := c.Render(ctx, event, sheet, client.RenderOptions{Format: kinorderv1.RenderFormat_RENDER_FORMAT_HTML})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(string(page.GetContent()[:15]))
	// Output: <!DOCTYPE html>
}

// A program is told of what happens instead of asking.
func ExampleClient_CreateWebhook() {
	c, err := client.Dial(address)
	if err != nil {
		log.Fatal(err)
	}
	defer c.Close()
	ctx, studio := context.Background(), c.WithSecret(studioKey)
	hook, err := studio.CreateWebhook(ctx, "https://studio.example/told")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("keep it, it signs what comes:", hook.GetSecret()[:6])
	if err := studio.DeleteWebhook(ctx, hook.GetName()); err != nil {
		log.Fatal(err)
	}
	// Output: keep it, it signs what comes: whsec_
}

// A day that is kept: the event, its sheet, a link for whoever calls the names, and the run with what happens.
func ExampleClient_WatchRun() {
	c, err := client.Dial(address)
	if err != nil {
		log.Fatal(err)
	}
	defer c.Close()
	ctx, studio := context.Background(), c.WithSecret(studioKey)
	kept, err := studio.CreateEvent(ctx, "lindqvist", &kinorderv1.Event{
		People:    []*kinorderv1.Person{{Id: "ann", Name: "Ann Lindqvist"}, {Id: "bo", Name: "Bo Lindqvist"}},
		Groupings: []*kinorderv1.Grouping{{Id: "couple", Members: []string{"ann", "bo"}}},
	})
	if err != nil {
		log.Fatal(err)
	}
	sheet, err := studio.CreateSheet(ctx, kept.GetName(), client.PlanOptions{})
	if err != nil {
		log.Fatal(err)
	}
	link, err := studio.CreateLink(ctx, kept.GetName(), kinorderv1.Role_ROLE_READER, "whoever calls the names", time.Time{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("a secret for whoever calls:", len(link.GetSecret()), "letters")
	run, err := studio.CreateRun(ctx, kept.GetName(), sheet.GetName())
	if err != nil {
		log.Fatal(err)
	}
	taken := &kinorderv1.Mark{Kind: &kinorderv1.Mark_Taken{Taken: &kinorderv1.GroupingMark{Grouping: "couple"}}}
	if _, err := studio.AddMarks(ctx, run.GetName(), taken); err != nil {
		log.Fatal(err)
	}
	for update, err := range studio.WatchRun(ctx, run.GetName(), 0) { // for as long as the day lasts
		if err != nil {
			log.Fatal(err)
		}
		outlook := update.GetOutlook() // of what is left; its Next says whom to have ready
		if outlook != nil && len(outlook.GetOwed()) == 0 {
			fmt.Println("all is taken")
			return
		}
	}
	// Output:
	// a secret for whoever calls: 22 letters
	// all is taken
}
