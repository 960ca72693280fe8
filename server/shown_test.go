package server

import (
	"context"

	"google.golang.org/grpc"
	"google.golang.org/grpc/metadata"
	"google.golang.org/protobuf/types/known/fieldmaskpb"
)

// shown is a connection that shows a secret, for calls that the client has no method for.
type shown struct {
	grpc.ClientConnInterface
	secret string
}

func (s shown) Invoke(ctx context.Context, method string, args, reply any, options ...grpc.CallOption) error {
	return s.ClientConnInterface.Invoke(metadata.AppendToOutgoingContext(ctx, "authorization", "Bearer "+s.secret), method, args, reply, options...)
}

func (s shown) NewStream(ctx context.Context, d *grpc.StreamDesc, method string, options ...grpc.CallOption) (grpc.ClientStream, error) {
	return s.ClientConnInterface.NewStream(metadata.AppendToOutgoingContext(ctx, "authorization", "Bearer "+s.secret), d, method, options...)
}

func mask(paths ...string) *fieldmaskpb.FieldMask { return &fieldmaskpb.FieldMask{Paths: paths} }
