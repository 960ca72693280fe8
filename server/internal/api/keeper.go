package api

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"google.golang.org/grpc"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/peer"
	"google.golang.org/protobuf/proto"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// KeptServices are the full names of the services of a Keeper.
var KeptServices = []string{"kinorder.v1.Events", "kinorder.v1.Sheets", "kinorder.v1.Runs", "kinorder.v1.Webhooks"}

// Keeper answers the calls about what is kept: Events, Sheets, Runs and Webhooks.
type Keeper struct {
	kinorderv1.UnimplementedEventsServer
	kinorderv1.UnimplementedSheetsServer
	kinorderv1.UnimplementedRunsServer
	kinorderv1.UnimplementedWebhooksServer

	store   *store.Store
	desk    *run.Desk
	guard   *access.Guard
	service *Service
	pages   int // the port of the pages, or 0
	party   gate.Party
	private bool // webhooks may be in networks that are not public

	watching gate.Places
}

// KeeperOptions are what a Keeper works on.
type KeeperOptions struct {
	// Store is nil where nothing is kept: then all calls are refused with the reason.
	Store *store.Store
	Desk  *run.Desk
	Guard *access.Guard
	// Pages is the port of the pages to which links lead, 0 for none.
	Pages int
	// Party is whose searches its calls are.
	Party gate.Party
	// Private lets webhooks be in networks that are not public.
	Private bool
}

// NewKeeper returns a keeper that plans as a service does.
func NewKeeper(service *Service, o KeeperOptions) *Keeper {
	return &Keeper{store: o.Store, desk: o.Desk, guard: o.Guard, service: service, pages: o.Pages, party: o.Party, private: o.Private}
}

// Register adds the services to a gRPC server. Calls with a secret of another studio than that of the keeper are
// answered by that one's.
func (k *Keeper) Register(r grpc.ServiceRegistrar) {
	r = Registrar{r, k.enter}
	kinorderv1.RegisterEventsServer(r, k)
	kinorderv1.RegisterSheetsServer(r, k)
	kinorderv1.RegisterRunsServer(r, k)
	kinorderv1.RegisterWebhooksServer(r, k)
}

// Errors of access.
var (
	errNothingKept = errors.New("the server keeps nothing")
	errNoSecret    = errors.New("the call has no secret")
	errForbidden   = errors.New("the secret does not allow it")
)

// opened is what the secret of a call opens.
type opened struct {
	grant  access.Grant
	secret string
}

type openedKey struct{}

// enter reads the secret of a call before its request is read.
func (k *Keeper) enter(ctx context.Context) (admission, error) {
	if k.store == nil {
		return admission{}, errNothingKept
	}
	secret := bearer(ctx)
	if secret == "" {
		return admission{}, errNoSecret
	}
	of, leave, err := k.service.keeperOf(ctx, k, secret)
	if err != nil {
		return admission{}, err
	}
	grant, err := of.guard.Open(ctx, caller(ctx), secret)
	if err != nil {
		leave()
		return admission{}, err
	}
	ctx = context.WithValue(gate.As(ctx, of.party), openedKey{}, opened{grant, secret})
	return admission{ctx: ctx, keeper: of, known: true, studio: of.party.Number, leave: leave}, nil
}

// bearer is the secret of a call, empty for none.
func bearer(ctx context.Context) (secret string) {
	for _, value := range metadata.ValueFromIncomingContext(ctx, "authorization") {
		kind, rest, _ := strings.Cut(value, " ")
		if strings.EqualFold(kind, "bearer") {
			secret = strings.TrimSpace(rest)
		}
	}
	return secret
}

// keeperOf is the keeper of the studio that a secret names; own where it names none.
func (s *Service) keeperOf(ctx context.Context, own *Keeper, secret string) (of *Keeper, leave func(), err error) {
	if s.studios == nil {
		return own, func() {}, nil
	}
	return s.studios(ctx, secret)
}

// open returns what the secret of a call opens.
func open(ctx context.Context) (access.Grant, string) {
	o, _ := ctx.Value(openedKey{}).(opened)
	return o.grant, o.secret
}

// caller is where a call comes from.
func caller(ctx context.Context) string {
	p, ok := peer.FromContext(ctx)
	if !ok {
		return ""
	}
	return gate.From(p.Addr.String(), strings.Join(metadata.ValueFromIncomingContext(ctx, "x-forwarded-for"), ","))
}

// permission says whether a grant is enough for something in an event, as access.Grant.Marks does.
type permission func(g access.Grant, eventID string) bool

// may asks for a role.
func may(need store.Role) permission {
	return func(g access.Grant, eventID string) bool { return g.May(eventID, need) }
}

func mayDelete(g access.Grant, _ string) bool { return g.Studio }

// named reads a resource name from a field, see name, and demands a permission in its event.
func named(ctx context.Context, field, text, collection string, allowed permission) (names, access.Grant, error) {
	n, err := name(field, text, collection)
	grant, _ := open(ctx)
	if err == nil && !allowed(grant, n.event) {
		err = errForbidden
	}
	return n, grant, err
}

// names are the ids of a resource name.
type names struct{ event, id string }

// eventIDs are those that a caller may choose.
var eventIDs = regexp.MustCompile(`^[a-z][a-z0-9-]{0,62}$`)

// name reads events/{event} or events/{event}/COLLECTION/{id}.
func name(field, text, collection string) (names, error) {
	parts := strings.Split(text, "/")
	ok := len(parts) == 2 && collection == "" || len(parts) == 4 && collection != "" && parts[2] == collection
	if !ok || parts[0] != "events" || slices.ContainsFunc(parts[1:], func(p string) bool { return !store.ValidID(p) }) {
		form := "events/EVENT"
		if collection != "" {
			form += "/" + collection + "/ID"
		}
		return names{}, invalidRequest(field, event.CodeBadName, fmt.Sprintf("is not a name of the form %s", form))
	}
	n := names{event: parts[1]}
	if collection != "" {
		n.id = parts[3]
	}
	return n, nil
}

func eventName(id string) string { return "events/" + id }

func resourceName(eventID, collection, id string) string {
	return "events/" + eventID + "/" + collection + "/" + id
}

const (
	usualPage   = 50
	largestPage = 500
)

// page reads the request for a part of a list.
func page(size int32, token string) (store.Page, error) {
	if size < 0 {
		return store.Page{}, invalidRequest("page_size", event.CodeOutOfRange, "cannot be below 0")
	}
	if size == 0 {
		size = usualPage
	}
	return store.Page{Size: min(int(size), largestPage), Token: token}, nil
}

// listing reads which page of a list of an event is asked for, and demands the role.
func listing(ctx context.Context, req interface {
	GetParent() string
	GetPageSize() int32
	GetPageToken() string
}, need store.Role) (parent string, p store.Page, err error) {
	n, _, err := named(ctx, "parent", req.GetParent(), "", may(need))
	if err != nil {
		return "", p, err
	}
	p, err = page(req.GetPageSize(), req.GetPageToken())
	return n.event, p, err
}

// requestOf identifies a request by its request id. The hash covers all other fields, so that reusing an id for
// something else is noticed.
func requestOf(req interface {
	proto.Message
	GetRequestId() string
}) (store.Request, error) {
	id := req.GetRequestId()
	if id == "" {
		return store.Request{}, nil
	}
	if len(id) <= 100 && !strings.ContainsFunc(id, func(c rune) bool { return c <= ' ' || c > '~' }) {
		rest := proto.Clone(req).ProtoReflect()
		rest.Clear(rest.Descriptor().Fields().ByName("request_id"))
		content, err := proto.MarshalOptions{Deterministic: true}.Marshal(rest.Interface())
		if err != nil {
			return store.Request{}, unquoted("hash a request", err)
		}
		sum := sha256.Sum256(content)
		return store.Request{ID: id, Hash: hex.EncodeToString(sum[:])}, nil
	}
	return store.Request{}, invalidRequest("request_id", event.CodeBadID, "has more than 100 characters or others than letters, digits and signs: a UUID will do")
}
