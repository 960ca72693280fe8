// Package client is the Go client of a kinorder server: typed calls over gRPC, with errors that say
// what to change. It plans nothing, reads no files and draws nothing itself.
package client

import (
	"context"
	"errors"
	"io"
	"iter"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/protobuf/types/known/durationpb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// MaxContent is the most bytes of a file that Import sends, as its contract says.
const MaxContent = 4 << 20

// maxAnswer is the most bytes of an answer that are read: a sheet of the largest event fits.
const maxAnswer = 64 << 20

// Client calls one server. It is safe for use by several goroutines. Its calls return *Error when
// the server refuses or cannot be reached.
type Client struct {
	conn    grpc.ClientConnInterface
	planner kinorderv1.PlannerClient
	events  kinorderv1.EventsClient
	sheets  kinorderv1.SheetsClient
	runs    kinorderv1.RunsClient
	hooks   kinorderv1.WebhooksClient
	closer  io.Closer
}

// New returns a client on a connection that stays the caller's to close.
func New(conn grpc.ClientConnInterface) *Client {
	return &Client{
		conn: conn, planner: kinorderv1.NewPlannerClient(conn), events: kinorderv1.NewEventsClient(conn),
		sheets: kinorderv1.NewSheetsClient(conn), runs: kinorderv1.NewRunsClient(conn), hooks: kinorderv1.NewWebhooksClient(conn),
	}
}

// Close closes the connection that Dial made.
func (c *Client) Close() error {
	if c.closer == nil {
		return nil
	}
	return c.closer.Close()
}

// Check returns what is wrong with an event and what its planner should know.
func (c *Client) Check(ctx context.Context, e *kinorderv1.Event) ([]*kinorderv1.Advice, error) {
	r, err := c.planner.Check(ctx, &kinorderv1.CheckRequest{Event: e})
	return r.GetAdvice(), Explain(err)
}

// PlanOptions say how to plan. The zero value is fine.
type PlanOptions struct {
	// Budget is how long to search at most, up to 10 minutes. 0 means 2 seconds.
	Budget time.Duration
	// Emphasis, unless unspecified, replaces the event's own.
	Emphasis kinorderv1.Emphasis
	// Available is all the time there is in the block that opens first, up to 24 hours. 0 means as
	// long as the block is.
	Available time.Duration
}

// span is nil for 0, which leaves the choice to the server.
func span(d time.Duration) *durationpb.Duration {
	if d == 0 {
		return nil
	}
	return durationpb.New(d)
}

// Plan returns the best call sheet found within the budget and the deadline of ctx.
func (c *Client) Plan(ctx context.Context, e *kinorderv1.Event, o PlanOptions) (*kinorderv1.CallSheet, error) {
	r, err := c.planner.Plan(ctx, &kinorderv1.PlanRequest{
		Event: e, Budget: span(o.Budget), Emphasis: o.Emphasis, Available: span(o.Available),
	}, grpc.MaxCallRecvMsgSize(maxAnswer))
	return r.GetSheet(), Explain(err)
}

// PlanStream plans and yields each message as it comes: progress, then the sheet. An error is the
// last thing it yields. To leave the loop ends the search.
func (c *Client) PlanStream(ctx context.Context, e *kinorderv1.Event, o PlanOptions) iter.Seq2[*kinorderv1.PlanStreamResponse, error] {
	return func(yield func(*kinorderv1.PlanStreamResponse, error) bool) {
		ctx, cancel := context.WithCancel(ctx)
		defer cancel()
		stream, err := c.planner.PlanStream(ctx, &kinorderv1.PlanStreamRequest{
			Event: e, Budget: span(o.Budget), Emphasis: o.Emphasis, Available: span(o.Available),
		}, grpc.MaxCallRecvMsgSize(maxAnswer))
		if err != nil {
			yield(nil, Explain(err))
			return
		}
		for {
			message, err := stream.Recv()
			if errors.Is(err, io.EOF) {
				return
			}
			if err != nil {
				yield(nil, Explain(err))
				return
			}
			if !yield(message, nil) {
				return
			}
		}
	}
}

// Import reads a file of at most MaxContent bytes into an event. What is wrong with the file comes
// back as problems and is not an error.
func (c *Client) Import(ctx context.Context, content []byte, format kinorderv1.ImportFormat) (*kinorderv1.Event, []*kinorderv1.ImportProblem, error) {
	r, err := c.planner.Import(ctx, &kinorderv1.ImportRequest{Content: content, Format: format}, grpc.MaxCallRecvMsgSize(maxAnswer))
	return r.GetEvent(), r.GetProblems(), Explain(err)
}

// ImportOptions say how to read a file. The zero value finds out by the content.
type ImportOptions struct {
	Format kinorderv1.ImportFormat
	// Base is an event whose people a list or table may refer to; nil is none.
	Base *kinorderv1.Event
	// Table and Columns are for spreadsheets whose headers are not understood.
	Table   kinorderv1.Table
	Columns map[string]string
}

// ImportWith is Import with more said about the file, and with what became of every line.
func (c *Client) ImportWith(ctx context.Context, content []byte, o ImportOptions) (*kinorderv1.ImportResponse, error) {
	r, err := c.planner.Import(ctx, &kinorderv1.ImportRequest{
		Content: content, Format: o.Format, Base: o.Base, Table: o.Table, Columns: o.Columns,
	}, grpc.MaxCallRecvMsgSize(maxAnswer))
	return r, Explain(err)
}

// ExportOptions say how to write an event. The zero value is YAML.
type ExportOptions struct {
	Format kinorderv1.ExportFormat
	// Table is for CSV.
	Table kinorderv1.Table
	// Problems stand in YAML as comments.
	Problems []*kinorderv1.ImportProblem
}

// Export writes an event as a file. Private notes are in it.
func (c *Client) Export(ctx context.Context, e *kinorderv1.Event, o ExportOptions) ([]byte, error) {
	r, err := c.planner.Export(ctx, &kinorderv1.ExportRequest{
		Event: e, Format: o.Format, Table: o.Table, Problems: o.Problems,
	}, grpc.MaxCallRecvMsgSize(maxAnswer))
	return r.GetContent(), Explain(err)
}

// RenderOptions say what to draw. The zero value is the call sheet as text in English for 80 columns.
type RenderOptions struct {
	Kind     kinorderv1.RenderKind
	Format   kinorderv1.RenderFormat
	Language string // BCP 47
	Paper    kinorderv1.RenderPaper
	Per      kinorderv1.RenderPer
	// Width is for text: 40 to 400 columns.
	Width int
	// Side or Person, an id, make the finder's sheet that of one helper.
	Side, Person string
	// LensesAtEntries is for the call sheet as a page.
	LensesAtEntries bool
}

// Render draws the sheet of an event. Who stands where is worked out if the drawing shows it and the sheet doesn't hold
// it, as far as the deadline of ctx leaves time. The answer says of which media type the content is and in which
// language its labels are.
func (c *Client) Render(ctx context.Context, e *kinorderv1.Event, s *kinorderv1.CallSheet, o RenderOptions) (*kinorderv1.RenderResponse, error) {
	r, err := c.planner.Render(ctx, &kinorderv1.RenderRequest{
		Event: e, Sheet: s, Kind: o.Kind, Format: o.Format, Language: o.Language, Paper: o.Paper, Per: o.Per, Width: int32(o.Width),
		Side: o.Side, Person: o.Person, LensesAtEntries: o.LensesAtEntries,
	}, grpc.MaxCallRecvMsgSize(maxAnswer))
	return r, Explain(err)
}

// Arrange says who stands where in one photograph of an event. A nil space is that of the only block
// in which it may be taken, else as much room as is wanted, without chairs or steps.
func (c *Client) Arrange(ctx context.Context, e *kinorderv1.Event, grouping string, space *kinorderv1.StandingSpace) (*kinorderv1.ArrangeResponse, error) {
	r, err := c.planner.Arrange(ctx, &kinorderv1.ArrangeRequest{Event: e, Grouping: grouping, Space: space}, grpc.MaxCallRecvMsgSize(maxAnswer))
	return r, Explain(err)
}

// FitPace fits the minutes model to runs that were gone through. The answer holds a pace file, empty when
// there was too little to fit to.
func (c *Client) FitPace(ctx context.Context, runs []*kinorderv1.FinishedRun) (*kinorderv1.FitPaceResponse, error) {
	r, err := c.planner.FitPace(ctx, &kinorderv1.FitPaceRequest{Runs: runs}, grpc.MaxCallRecvMsgSize(maxAnswer))
	return r, Explain(err)
}

// ApplyPace reads a pace file into an event: what the event's own pace does not say comes from the file.
// Faults of the file come back as problems, not as an error.
func (c *Client) ApplyPace(ctx context.Context, e *kinorderv1.Event, content []byte) (*kinorderv1.ApplyPaceResponse, error) {
	r, err := c.planner.ApplyPace(ctx, &kinorderv1.ApplyPaceRequest{Event: e, Content: content}, grpc.MaxCallRecvMsgSize(maxAnswer))
	return r, Explain(err)
}
