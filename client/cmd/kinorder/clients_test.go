package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protodesc"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/types/descriptorpb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// descriptors writes the contract as programs read it that make no code of it.
func descriptors(t *testing.T) string {
	t.Helper()
	var set descriptorpb.FileDescriptorSet
	there := map[string]bool{}
	var add func(f protoreflect.FileDescriptor)
	add = func(f protoreflect.FileDescriptor) {
		if there[f.Path()] {
			return
		}
		there[f.Path()] = true
		for i := range f.Imports().Len() {
			add(f.Imports().Get(i).FileDescriptor)
		}
		set.File = append(set.File, protodesc.ToFileDescriptorProto(f))
	}
	for _, f := range []protoreflect.FileDescriptor{kinorderv1.File_kinorder_v1_planner_proto, kinorderv1.File_kinorder_v1_runs_proto, errdetails.File_google_rpc_error_details_proto} {
		add(f)
	}
	content, err := proto.Marshal(&set)
	require.NoError(t, err)
	return file(t, "contract.binpb", string(content))
}

// The clients of npm that browsers and programs use are answered in every protocol at the address of the page.
func TestClientsOfOthers(t *testing.T) {
	if _, err := exec.LookPath("node"); err != nil {
		missing(t, "node, in which the clients run, is not installed")
	}
	if _, err := os.Stat(filepath.Join(root, ".ci/node_modules/@connectrpc/connect-node")); err != nil {
		missing(t, "the clients of npm are not installed: npm ci in .ci")
	}
	at := serveCommand(t, exec.Command(os.Args[0], "serve", "--listen", "127.0.0.1:0", "--http", "127.0.0.1:0", "--data", t.TempDir(), "--key-file", file(t, "studio.key", key+"\n")))
	defer at.kill(t)
	conn := dial(t, at.address)
	e, sheet := party(t, conn)
	r, err := conn.CreateRun(t.Context(), e.GetName(), sheet.GetName())
	require.NoError(t, err)
	page := pageAt.FindStringSubmatch(at.said(t))[1]
	out, err := exec.CommandContext(t.Context(), "node", filepath.Join(root, ".ci/clients.mjs"), page, descriptors(t), key, r.GetName()).CombinedOutput()
	require.NoError(t, err, string(out))
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	require.Len(t, lines, 5, string(out))
	for _, line := range lines {
		assert.True(t, strings.HasSuffix(line, ": 1 photo, stream sheet, SECRET_MISSING, run seen"), line)
	}
}
