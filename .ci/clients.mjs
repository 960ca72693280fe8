// Calls a server as browsers and programs do, with the clients of npm: clients.mjs ADDRESS DESCRIPTORS SECRET RUN
// Prints a line for each protocol; the test reads them.
import { readFileSync } from "node:fs";
import { createFileRegistry, fromBinary } from "@bufbuild/protobuf";
import { FileDescriptorSetSchema } from "@bufbuild/protobuf/wkt";
import { ConnectError, createClient } from "@connectrpc/connect";
import { createConnectTransport, createGrpcTransport, createGrpcWebTransport } from "@connectrpc/connect-node";

const [baseUrl, descriptors, secret, run] = process.argv.slice(2);
const registry = createFileRegistry(fromBinary(FileDescriptorSetSchema, readFileSync(descriptors)));
const bearer = { headers: { authorization: `Bearer ${secret}` } };
const event = {
  people: [{ id: "ann", name: "Ann" }, { id: "bo", name: "Bo" }],
  groupings: [{ id: "both", members: ["ann", "bo"] }],
};

const protocols = {
  "Connect 1.1": createConnectTransport({ baseUrl, httpVersion: "1.1", useBinaryFormat: false }),
  "Connect 2": createConnectTransport({ baseUrl, httpVersion: "2" }),
  "gRPC-Web 1.1": createGrpcWebTransport({ baseUrl, httpVersion: "1.1" }),
  "gRPC-Web 2": createGrpcWebTransport({ baseUrl, httpVersion: "2" }),
  "gRPC": createGrpcTransport({ baseUrl }),
};

for (const [name, transport] of Object.entries(protocols)) {
  const planner = createClient(registry.getService("kinorder.v1.Planner"), transport);
  const runs = createClient(registry.getService("kinorder.v1.Runs"), transport);
  const { sheet } = await planner.plan({ event });
  let streamed;
  for await (const part of planner.planStream({ event })) streamed = part;
  let reason;
  try {
    await runs.getRun({ name: run });
  } catch (e) {
    reason = ConnectError.from(e).findDetails(registry.getMessage("google.rpc.ErrorInfo"))[0]?.reason;
  }
  let sequence = "none";
  const leave = new AbortController();
  try {
    for await (const update of runs.watchRun({ name: run }, { ...bearer, signal: leave.signal })) {
      sequence = "seen";
      leave.abort();
    }
  } catch {
    // it ends as it is left
  }
  console.log(`${name}: ${sheet.blocks[0].entries.length} photo, stream ${streamed.kind.case}, ${reason}, run ${sequence}`);
}
process.exit(0); // connections are kept for a while
