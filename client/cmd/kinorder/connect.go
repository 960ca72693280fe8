package main

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net"
	"os"
	"runtime"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/test/bufconn"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server"
)

// serverFlags say which server is called, by which certificate it is trusted, and by which secret it lets in.
type serverFlags struct {
	address, secretFile, caFile string
	kept                        bool // it has to be one that keeps things
}

// What the server of a command is for.
const (
	worksThere = "have the work done by the kinorder server at `ADDR`, host:port, instead of in this program"
	keptThere  = "the kinorder server at `ADDR`, host:port; several, separated by commas, when they share a database (default: the variable KINORDER_SERVER)"
)

func (o *serverFlags) add(c *cobra.Command, what string) {
	f := c.PersistentFlags()
	o.kept = what == keptThere
	f.StringVar(&o.address, "server", "", what)
	f.StringVar(&o.secretFile, "secret-file", "", "the `FILE` whose first line is the secret of a link or the studio key (default: for what is kept, the variable KINORDER_SECRET)")
	f.StringVar(&o.caFile, "ca-file", "", "trust the server's certificate by this `FILE`, PEM, for a server with a certificate of its own making")
}

// connect returns a client of a server, or of one of its own inside this process when none is named. Both go
// through the same calls. Only a server that keeps things is shown the secret of the environment.
func (p *Program) connect(o serverFlags) (*client.Client, error) {
	if o.kept {
		for variable, flag := range map[string]*string{"KINORDER_SERVER": &o.address, "KINORDER_CA_FILE": &o.caFile, "KINORDER_SECRET_FILE": &o.secretFile} {
			if *flag == "" {
				*flag = os.Getenv(variable)
			}
		}
	}
	switch {
	case p.conn != nil:
		return p.conn, nil
	case o.address == "" && o.kept:
		return nil, invalid(errors.New("name the server with --server or KINORDER_SERVER, for example localhost:7465"))
	case o.address == "" && (o.secretFile != "" || o.caFile != ""):
		return nil, invalid(errors.New("--secret-file and --ca-file are about a server: name it with --server"))
	}
	var err error
	if o.address == "" {
		p.conn, err = p.embed()
		return p.conn, err
	}
	secret := ""
	switch {
	case o.secretFile != "":
		if secret, err = readSecret(o.secretFile); err != nil {
			return nil, err
		}
	case o.kept:
		if secret = os.Getenv("KINORDER_SECRET"); secret == "" {
			return nil, invalid(errors.New("give the secret of a link or the studio key, with --secret-file or in the variable KINORDER_SECRET"))
		}
	}
	if p.conn, err = p.dial(o); err == nil && secret != "" {
		p.conn = p.conn.WithSecret(secret)
	}
	return p.conn, err
}

func (p *Program) dial(o serverFlags) (*client.Client, error) {
	p.address = o.address
	options := []grpc.DialOption{grpc.WithUnaryInterceptor(inTime)}
	if o.caFile != "" {
		if strings.Contains(o.address, "http://") {
			return nil, invalid(fmt.Errorf("--ca-file is for encryption, and http:// is without: write https:// before %s", strings.ReplaceAll(o.address, "http://", "")))
		}
		pem, err := os.ReadFile(o.caFile)
		if err != nil {
			return nil, failed(err)
		}
		pool := x509.NewCertPool()
		if !pool.AppendCertsFromPEM(pem) {
			return nil, invalid(fmt.Errorf("%s holds no certificate in PEM form", o.caFile))
		}
		options = append(options, grpc.WithTransportCredentials(credentials.NewTLS(&tls.Config{RootCAs: pool, MinVersion: tls.VersionTLS12})))
	}
	c, err := client.Dial(o.address, options...)
	if err != nil {
		return nil, invalid(err)
	}
	p.closers = append(p.closers, c.Close)
	return c, nil
}

const (
	// callTime is how long an answer may take, beyond a search that was asked for.
	callTime = time.Minute
	// longTime is how long it may take with much to work out or to send.
	longTime = 10 * time.Minute
	// closeTime is how long a server may take to answer the calls under way.
	closeTime = 10 * time.Second
)

// inTime gives a deadline to a call of a server that has none.
func inTime(ctx context.Context, method string, req, reply any, conn *grpc.ClientConn, invoke grpc.UnaryInvoker, options ...grpc.CallOption) error {
	if _, ok := ctx.Deadline(); !ok {
		limit := callTime
		if method == kinorderv1.Planner_Render_FullMethodName || method == kinorderv1.Planner_FitPace_FullMethodName {
			limit = longTime
		}
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, limit)
		defer cancel()
	}
	return invoke(ctx, method, req, reply, conn, options...)
}

// embed starts a server on an in-memory listener. It searches for one caller only, with all cores.
func (p *Program) embed() (*client.Client, error) {
	s, err := server.New(server.Config{Solves: 1, Queue: 1, Workers: runtime.GOMAXPROCS(0)})
	if err != nil {
		return nil, failed(err)
	}
	lis := bufconn.Listen(1 << 20)
	served := make(chan error, 1)
	go func() { served <- s.Serve(lis) }()
	p.closers = append(p.closers, func() error {
		ctx, cancel := context.WithTimeout(context.Background(), closeTime)
		defer cancel()
		return errors.Join(s.Close(ctx), <-served)
	})
	conn, err := grpc.NewClient("passthrough:///embedded",
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return lis.DialContext(ctx) }),
		grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		return nil, failed(err)
	}
	p.closers = append(p.closers, conn.Close)
	return client.New(conn), nil
}
