// Takes marks, keeps them on this device and sends them, and follows what the server says.

import * as keep from "./keep.js";
import * as server from "./server.js";
import * as state from "./state.js";
import { newID } from "./id.js";
import { givenAs, givenBlock, givenMarks, givenSecret } from "./secret.js";
import { useZone } from "./words.js";

const { app, paint } = state;

let secret = givenSecret;

// Other windows of this device show at once what is ticked here.
const others = globalThis.BroadcastChannel ? new BroadcastChannel("kinorder-day") : { postMessage() {} };
others.onmessage = async () => { await readPending(); paint(); flush(); };

const readPending = async () => state.hold(await keep.marks());

let lastAt = 0;

// mark takes marks: they are on this device before they are shown, and sent when there is a way.
export async function mark(...list) {
  for (const p of app.pending.values()) lastAt = Math.max(lastAt, p.mark.at);
  // No two at once, as their order is that of their times. Those of one press follow each other at once, others never.
  lastAt = Math.max(Date.now(), lastAt + 2) - 1;
  const entries = list.map((fields) => {
    lastAt++;
    const m = { id: newID(lastAt), at: lastAt, ...fields };
    return { id: m.id, event: app.whole.event, run: app.whole.run, mark: m, sent: false };
  });
  try {
    await keep.keepMarks(entries);
    if (!keep.keeps()) state.notKept();
  } catch {
    state.notKept();
  }
  state.hold(entries);
  others.postMessage("marks");
  paint();
  server.hope();
  flush();
}

let flushing = false, again = false, retry = 0;

// flush sends what is not sent. What the server refuses is set aside and shown; the rest goes on.
async function flush() {
  if (!app.whole?.run || !state.tells()) return; // nobody who may mark is let in
  if (flushing) { again = true; return; }
  flushing = true;
  try {
    do {
      again = false;
      for (let batch = nextBatch(); batch.length; batch = nextBatch()) await sendBatch(batch);
    } while (again);
  } catch (e) {
    if (e instanceof server.Refusal) state.trouble(e.code);
    clearTimeout(retry);
    retry = setTimeout(flush, 4000 + 3000 * Math.random());
  } finally {
    flushing = false;
    paint();
  }
}

function nextBatch() {
  const queue = state.unsent();
  return queue.filter((p) => p.run === queue[0].run).sort((a, b) => a.mark.at - b.mark.at).slice(0, 100);
}

async function sendBatch(batch) {
  try {
    await server.sendMarks(app.link, batch[0].run, batch.map((p) => p.mark));
    state.sent(batch);
    if (!app.contact.live) server.hope(); // what was sent found a way
  } catch (e) {
    if (!(e instanceof server.Refusal)) throw e;
    if (e.code === "invalid") for (const f of e.faults) state.setAside(batch[f.mark] || batch[0], f.code);
    else if (e.code === "gone") for (const p of batch) state.setAside(p, e.code); // the run was deleted
    else throw e; // it stays until it can be sent
  }
  await keep.keepMarks(batch).catch(state.notKept);
  others.postMessage("marks");
  paint();
}

// dismiss drops marks that the server refused, once they were seen.
export async function dismiss() {
  const ids = state.refused().map((p) => p.id);
  state.drop(ids);
  await keep.dropMarks(ids);
  paint();
}

async function update(u) {
  state.take(u);
  paint();
  await keep.keepView({ ...app.view, whole: app.whole }).catch(state.notKept);
}

// follow keeps in touch for as long as the page is open.
const pause = new server.Pause();
let stop = () => {};

async function follow() {
  for (;;) {
    let least = 0;
    try {
      await openLink();
      if (!app.whole.run) {
        pause.reset();
        await pause.next(5);
        continue;
      }
      const code = await listen();
      if (code === "ahead") state.startOver();
      if (code === "left" || code === "moved") continue; // nothing was lost
    } catch (e) {
      if (e instanceof server.Refusal) {
        state.trouble(e.code);
        least = e.retry;
        if (e.code === "secret" || e.code === "studio") {
          await locked();
          return; // a link that has ended stays so: another one is opened, or the page loaded again
        }
      }
    }
    state.lostContact();
    paint();
    await pause.next(least);
  }
}

async function openLink() {
  const whole = await server.open(app.link, secret);
  state.adopt(whole);
  useZone(whole.zone);
  history.replaceState(null, "", location.pathname + "#at-" + whole.link);
  await keep.keepLink({ link: whole.link, used: Date.now() }).catch(state.notKept);
  if (secret) await bring();
  secret = "";
  paint();
  flush();
}

// bring takes in what came along with a link from another address; of another event it is not what the link is for.
async function bring() {
  let list = [];
  try {
    list = JSON.parse(decodeURIComponent(givenMarks || "[]"));
  } catch { return; } // cut short on the way: it is still where it came from
  const entries = list.filter((p) => p.event === app.whole.event)
    .map(({ event, run, mark: m }) => ({ id: m.id, event, run, mark: m, sent: false }));
  await keep.keepMarks(entries).catch(state.notKept);
  state.hold(entries);
}

// moveTo opens a link at another address of the server, with what is not sent yet. It is false when it is no link.
export function moveTo(text) {
  const link = parsed(text.trim());
  const given = /^#([a-z][a-z0-9-]*\.)?[\w-]{20,}(&[\w=%.-]*)*$/;
  if (!link || !/^https?:$/.test(link.protocol) || !given.test(link.hash)) return false;
  const list = state.unsent().map(({ event, run, mark: m }) => ({ event, run, mark: m }));
  location.href = link.origin + link.pathname + link.hash + "&marks=" + encodeURIComponent(JSON.stringify(list));
  return true;
}

// listen takes in what the server says until it says no more, and returns why.
const listen = () => new Promise((over) => {
  stop = server.listen(app.link, app.whole.run, app.view.sequence, {
    update: (u) => { pause.reset(); update(u); },
    pulse: (p) => { state.heard(p.now, p.away || []); state.newer(p.newer); sayHere(); paint(); },
    over,
  });
});

// sayHere lets others know that the marks of a lead come, and that whoever calls names has the order of now.
let saidHere = 0;

function sayHere() {
  if (!state.tells() || state.isFinder() || Date.now() - saidHere < 15_000) return;
  saidHere = Date.now();
  server.here(app.link).catch(() => {});
}

addEventListener("pagehide", () => { if (state.tells() && !state.unsent().length) server.gone(app.link); });

async function locked() {
  state.shut();
  if (app.link) await keep.forget(app.link, false);
  secret = "";
  state.lostContact();
  paint();
}

// leaveDevice wipes what is kept here, but for marks that are not sent.
export async function leaveDevice() {
  await server.leave(app.link).catch(() => {});
  await keep.forget(app.link, true);
  location.replace(location.pathname);
  location.reload();
}

// newerList is what the newest list changes, as sentences of the plan.
export const newerList = async () => (await server.newer(app.link)).said;

// beginAnew begins another run of the newest list or an older one, with what was marked, or fresh after a rehearsal.
export async function beginAnew(how) {
  try {
    await server.begin(app.link, { request: newID(Date.now()), ...how });
    stop();
  } catch (e) {
    state.trouble(e.code || "lost");
    paint();
  }
}

// recall takes up what this device kept.
export async function recall() {
  const kept = async (name) => (await keep.setting(name).catch(() => null)) ?? undefined;
  if (secret) {
    const begins = { as: givenAs, found: {}, side: "" };
    for (const [name, value] of Object.entries(begins)) await keep.keepSetting(name, value).catch(() => {});
  }
  state.useAs(await kept("as"), await kept("found"), await kept("side"));
  state.showBlock(givenBlock || ((await kept("block")) ?? null));
  await readPending();
  if (!app.link && !secret) state.useLink((await keep.links()).sort((a, b) => b.used - a.used)[0]?.link || "");
  if (app.link && !secret) {
    const kept = await keep.view(app.link);
    if (kept?.whole) {
      state.restore(kept);
      useZone(kept.whole.zone);
    }
  }
  if (!app.link && !secret) state.trouble("nolink");
}

// start keeps in touch when there is a link to do it with.
export async function start() {
  if (app.link || secret) await follow();
}

function parsed(text) {
  try { return new URL(text); } catch { return null; }
}
