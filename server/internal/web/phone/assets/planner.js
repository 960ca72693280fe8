"use strict";
// Runs the core: what the server plans by, in a worker, so that the page stays under the thumb while it plans. It
// answers each message { know } or { plan }, texts of JSON, by { answer } or { failed }.

importScripts("./wasm_exec.js");

const go = new globalThis.Go();
globalThis.coreReady = () => postMessage({ ready: true });

async function load() {
  const program = await fetch("./core.wasm");
  if (!program.ok) throw new Error("no core");
  const { instance } = await WebAssembly.instantiate(await program.arrayBuffer(), go.importObject);
  await go.run(instance); // it does not end
  throw new Error("the core has ended");
}

onmessage = ({ data }) => {
  const answer = data.know ? globalThis.coreKnow(data.know) : globalThis.corePlan(data.plan);
  postMessage(answer instanceof Error ? { failed: answer.message } : { answer });
};

load().catch((e) => setTimeout(() => { throw e; })); // the page hears of it
