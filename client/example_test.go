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
