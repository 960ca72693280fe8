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
	c, err := client.Dial("localhost:7465")
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
}

// A day that is kept: the event, its sheet, a link for whoever calls the names, and the run with what happens.
func ExampleClient_WatchRun() {
	c, err := client.Dial("localhost:7465")
	if err != nil {
		log.Fatal(err)
	}
	defer c.Close()
	ctx, studio := context.Background(), c.WithSecret("the studio's key")
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
	fmt.Println("give this to whoever calls:", link.GetSecret())
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
		for _, next := range update.GetOutlook().GetNext() {
			fmt.Println("have ready:", next.GetGrouping())
		}
	}
}
