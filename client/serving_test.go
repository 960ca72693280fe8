package client_test

import (
	"context"
	"log"
	"net"
	"os"
	"testing"

	"kinorder.example/server"
)

// What the examples call: a server like that of kinorder serve.
var (
	address   = "localhost:7465"
	studioKey = "the-key-of-the-studio-in-examples"
)

func TestMain(m *testing.M) {
	folder, err := os.MkdirTemp("", "kinorder-examples")
	if err != nil {
		log.Fatal(err)
	}
	s, err := server.New(server.Config{Data: folder, StudioKey: studioKey})
	if err != nil {
		log.Fatal(err)
	}
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		log.Fatal(err)
	}
	address = lis.Addr().String()
	served := make(chan error, 1)
	go func() { served <- s.Serve(lis) }()
	code := m.Run()
	if err := s.Close(context.Background()); err != nil {
		log.Print(err)
	}
	<-served
	_ = os.RemoveAll(folder)
	os.Exit(code)
}
