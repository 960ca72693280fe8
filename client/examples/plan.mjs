// From a list to a call sheet with Node, without packages: node plan.mjs [ADDRESS] < list.txt
import { readFileSync } from "node:fs";

const server = process.argv[2] ?? "http://127.0.0.1:7466";

async function call(path, body, kind = "application/json") {
  const answer = await fetch(server + path, { method: "POST", body, headers: { "Content-Type": kind } });
  const content = await answer.json();
  if (!answer.ok) {
    const info = content.details.find((d) => d["@type"].endsWith("ErrorInfo"));
    console.error(`${info.reason}: ${content.message}`);
    process.exit(1);
  }
  return content;
}

const { event, questions } = await call("/v1/events:import", readFileSync(0), "text/plain");
questions.forEach((q) => console.error(q.text));
const { sheet } = await call("/v1/events:plan?budget=2s", JSON.stringify(event));
const drawn = await call("/v1/callSheets:render", JSON.stringify({ event, sheet, format: "RENDER_FORMAT_TEXT" }));
process.stdout.write(Buffer.from(drawn.content, "base64"));
