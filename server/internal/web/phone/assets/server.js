// Talks to the server: opens a link, listens, sends marks. All addresses are beside this file's.

const wait = (ms) => new Promise((r) => setTimeout(r, ms));

// Refusal is what the server answered instead; its code has words in the catalogue.
export class Refusal extends Error {
  constructor(status, body) {
    super(body.code || "broken");
    this.status = status;
    this.code = body.code || "broken";
    this.retry = body.retry || 0;
    this.faults = body.faults || [];
  }
}

async function post(path, query, body, secret, patience = 20_000) {
  const headers = { "Content-Type": "application/json" };
  if (secret) headers.Authorization = "Bearer " + secret;
  const r = await fetch("./" + path + "?" + new URLSearchParams(query), {
    method: "POST", headers, body: JSON.stringify(body),
    credentials: "same-origin", cache: "no-store", redirect: "error", signal: AbortSignal.timeout?.(patience),
  });
  const out = await r.json().catch(() => ({}));
  if (!r.ok) throw new Refusal(r.status, out);
  return out;
}

// What hangs is tried again: a signal that is back is found by a new attempt, and not by the old one.
export const open = (link, secret) => post("open", { link }, {}, secret, 8000);
export const begin = (link, how) => post("begin", { link }, how);
export const newer = (link) => post("newer", { link }, {}, null, 8000); // what the newest list changes
export const here = (link) => post("here", { link }, {}); // the lead's phone is in touch
// gone is told by a page that is closed with nothing left to send.
export const gone = (link) => navigator.sendBeacon?.("./here?" + new URLSearchParams({ link, gone: 1 }),
  new Blob(["{}"], { type: "application/json" }));
export const about = (link, run) => post("core", { link, run }, {}); // what planning goes by
export const leave = (link) => post("leave", { link }, {});
export const sendMarks = (link, run, marks) => post("marks", { link, run }, { device: Date.now(), marks });

const quiet = 20_000; // two pulses of the server, and a little

// There is hope when the device is back on a network, when somebody looks, and when somebody marks something.
const hopes = [[globalThis, "online"], [document, "visibilitychange"], [globalThis, "hope"]];
export const hope = () => dispatchEvent(new Event("hope"));
const onHope = (f) => { for (const [of, name] of hopes) of.addEventListener(name, f); };
const offHope = (f) => { for (const [of, name] of hopes) of.removeEventListener(name, f); };

// listen streams a run until it ends, and says why by on.over(code): "lost" when the way was.
export function listen(link, run, after, on) {
  const source = new EventSource("./live?" + new URLSearchParams({ link, run, after }));
  let ended = false, timer = 0, heard = Date.now();
  // A phone that was asleep finds its connection dead, and its timers late.
  const woken = () => { if (!document.hidden && Date.now() - heard > quiet / 2) end("lost"); };
  const end = (code) => {
    if (ended) return;
    ended = true;
    clearTimeout(timer);
    offHope(woken);
    source.close();
    on.over(code);
  };
  const alive = () => {
    heard = Date.now();
    clearTimeout(timer);
    timer = setTimeout(() => end("lost"), quiet);
  };
  alive();
  onHope(woken);
  source.addEventListener("update", (e) => { alive(); on.update(JSON.parse(e.data)); });
  source.addEventListener("pulse", (e) => { alive(); on.pulse(JSON.parse(e.data)); });
  source.addEventListener("over", (e) => end(JSON.parse(e.data).code));
  source.onerror = () => end("lost"); // coming back is done with a growing delay, not the browser's
  return () => end("left");
}

// Pause waits longer after each failure, up to half a minute and no more than some seconds while somebody looks; where
// there is hope it waits no longer.
export class Pause {
  #failures = 0;
  #wake = null;
  constructor() {
    onHope((e) => {
      if (e.type === "visibilitychange" && document.hidden) return;
      this.#failures = Math.min(this.#failures, 1);
      this.#wake?.();
    });
  }
  reset() { this.#failures = 0; }
  async next(least = 0) {
    const most = document.hidden ? 30_000 : 4000;
    const ms = Math.max(least * 1000, Math.min(most, 500 * 2 ** this.#failures++) * (0.75 + Math.random() / 2));
    await Promise.race([wait(ms), new Promise((r) => { this.#wake = r; })]);
    this.#wake = null;
  }
}
