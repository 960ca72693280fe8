// The page of the day. This part holds what is known, takes marks and keeps in touch; what is seen is
// made by the views.

// The secret of the link, before anything else: out of the address bar and out of the history.
const fragment = location.hash.slice(1);
let secret = /^[\w-]{20,}$/.test(fragment) && !fragment.startsWith("at-") ? fragment : "";
if (secret) history.replaceState(null, "", location.pathname);

import * as keep from "./keep.js";
import * as server from "./server.js";
import { fold } from "./fold.js";
import { left } from "./outlook.js";
import { newID } from "./id.js";
import { afterTouch } from "./dom.js";
import { loadWords, language, use, useZone } from "./words.js";
import { show, announce } from "./views.js";

export const app = {
  link: fragment.startsWith("at-") ? fragment.slice(3) : "",
  whole: null, // what does not change while the run goes on
  view: null, // what the server said last: {run, sequence, lastMark, covers, marks, added, plan}
  pending: new Map(), // marks of this device that the server's list does not hold
  offset: 0, // the server's clock less this one's
  relearn: false, // everything is to be told again
  worker: false, // the page opens without signal
  contact: { live: false, since: 0 },
  trouble: "", // the code of what stands in the way
  unkept: false, // a mark could not be kept on this device
  tab: "",
  find: "", // the name that is searched for
  first: null, // who comes first in the view of people
  block: null,
};

export const now = () => Date.now() + app.offset;

const nothing = (run) => ({ link: app.link, run, sequence: 0, lastMark: 0, covers: 0, marks: [], added: [], plan: null });

// Other windows of this device show at once what is ticked here.
const others = globalThis.BroadcastChannel ? new BroadcastChannel("kinorder-day") : { postMessage() {} };
others.onmessage = async () => { await readPending(); paint(); flush(); };

async function readPending() {
  for (const m of await keep.marks()) app.pending.set(m.id, m);
}

// model puts together what the views show.
export function model() {
  // Nothing is shown before the server has said how far it is, and for a moment not before its first plan:
  // an order that changes under the thumb is worse than none.
  if (!app.whole?.run || !app.view?.heard || (!app.view.plan && now() - app.view.heard < 4000)) return null;
  const held = new Set(app.view.marks.map((m) => m.id));
  const mine = [...app.pending.values()].filter((p) => p.event === app.whole.event && p.run === app.whole.run && !p.refused && !held.has(p.id));
  const state = fold([...app.view.marks, ...mine.map((p) => ({ ...p.mark, at: p.mark.at + app.offset }))]);
  const photographs = new Map(app.whole.photographs.map((p) => [p.id, p]));
  const added = new Map(app.view.added.map((p) => [p.id, p]));
  for (const g of state.added) photographs.set(g.id, { must: g.must, ...(added.get(g.id) || { id: g.id, title: g.title, members: g.members }) });
  const m = { photographs, people: app.whole.people, blocks: app.whole.blocks, state, plan: app.view.plan, now: Math.floor(now() / 60_000) * 60_000, block: app.block };
  m.fresh = Boolean(m.plan) && app.view.covers >= app.view.lastMark && mine.length === 0;
  m.left = left(m);
  return m;
}

// Marks that are not known to be kept by the server, and those that it refused.
const ours = (p) => !app.whole || p.event === app.whole.event; // of the event that is open, or of any
export const unsent = () => [...app.pending.values()].filter((p) => !p.sent && !p.refused && ours(p));
export const refused = () => [...app.pending.values()].filter((p) => p.refused && ours(p));

export const paint = () => show(model());

let lastAt = 0;

// mark takes marks: they are on this device before they are shown, and sent when there is a way.
export async function mark(...list) {
  const entries = list.map((fields) => {
    for (const p of app.pending.values()) lastAt = Math.max(lastAt, p.mark.at);
    lastAt = Math.max(Date.now(), lastAt + 1); // no two at once: their order is that of their times
    const m = { id: newID(lastAt), at: lastAt, ...fields };
    return { id: m.id, event: app.whole.event, run: app.whole.run, mark: m, sent: false };
  });
  try {
    await keep.keepMarks(entries);
    app.unkept ||= !keep.keeps();
  } catch {
    app.unkept = true;
  }
  for (const e of entries) app.pending.set(e.id, e);
  others.postMessage("marks");
  paint();
  flush();
}

let flushing = false, again = false, retry = 0;

// flush sends what is not sent. What the server refuses is set aside and shown; the rest goes on.
async function flush() {
  if (!app.whole?.run || app.whole.role === "reader") return; // nobody who may mark is let in
  if (flushing) { again = true; return; }
  flushing = true;
  try {
    do {
      again = false;
      for (let batch = nextBatch(); batch.length; batch = nextBatch()) await sendBatch(batch);
    } while (again);
  } catch (e) {
    if (e instanceof server.Refusal) app.trouble = e.code;
    clearTimeout(retry);
    retry = setTimeout(flush, 4000 + 3000 * Math.random());
  } finally {
    flushing = false;
    paint();
  }
}

function nextBatch() {
  const queue = unsent();
  return queue.filter((p) => p.run === queue[0].run).sort((a, b) => a.mark.at - b.mark.at).slice(0, 100);
}

async function sendBatch(batch) {
  const aside = new Map();
  try {
    await server.sendMarks(app.link, batch[0].run, batch.map((p) => p.mark));
    for (const p of batch) p.sent = true;
    app.trouble = "";
  } catch (e) {
    if (!(e instanceof server.Refusal)) throw e;
    if (e.code === "invalid") for (const f of e.faults) aside.set(batch[f.mark] || batch[0], f.text);
    else if (e.code === "gone") for (const p of batch) aside.set(p, e.code); // the run was deleted
    else throw e; // it stays until it can be sent
    for (const [p, why] of aside) p.refused = why;
  }
  await keep.keepMarks(batch).catch(() => { app.unkept = true; });
  others.postMessage("marks");
  paint();
}

// dismiss drops marks that the server refused, once they were seen.
export async function dismiss() {
  const ids = refused().map((p) => p.id);
  for (const id of ids) app.pending.delete(id);
  await keep.dropMarks(ids);
  paint();
}

function heard(at) {
  const off = at - Date.now();
  app.offset = Math.abs(off) < 2000 ? 0 : off;
  app.contact = { live: true, since: Date.now() };
  if (app.view) app.view.offset = app.offset;
}

async function update(u) {
  heard(u.now);
  const seen = new Set(app.view.marks.map((m) => m.id));
  app.view.marks.push(...u.marks.filter((m) => !seen.has(m.id)));
  Object.assign(app.view, { sequence: u.sequence, lastMark: u.lastMark, covers: u.covers, added: u.added ?? app.view.added, heard: u.now });
  if (u.plan) app.view.plan = u.plan;
  app.relearn = false;
  for (const m of u.marks) app.pending.delete(m.id);
  paint();
  await keep.keepView({ ...app.view, whole: app.whole }).catch(() => { app.unkept = true; });
}

async function adopt(whole) {
  const before = app.view;
  app.link = whole.link;
  app.whole = whole;
  if (!before || before.link !== whole.link || before.run !== (whole.run || "")) app.view = nothing(whole.run || "");
  useZone(whole.zone);
  history.replaceState(null, "", location.pathname + "#at-" + whole.link);
  await keep.keepLink({ link: whole.link, used: Date.now() }).catch(() => { app.unkept = true; });
}

// follow keeps in touch for as long as the page is open.
const pause = new server.Pause();
let stop = () => {};

async function follow() {
  for (;;) {
    let least = 0;
    try {
      await adopt(await server.open(app.link, secret));
      secret = "";
      app.trouble = "";
      app.contact = { live: true, since: Date.now() };
      paint();
      flush();
      if (!app.whole.run) {
        pause.reset();
        await pause.next(5);
        continue;
      }
      const code = await new Promise((over) => {
        stop = server.listen(app.link, app.whole.run, app.relearn ? 0 : app.view.sequence, language(), { update: (u) => { pause.reset(); update(u); }, pulse: (p) => { heard(p.now); paint(); }, over });
      });
      if (code === "ahead") app.view = nothing(app.whole.run);
      if (code === "left" || code === "moved") continue; // nothing was lost
    } catch (e) {
      if (e instanceof server.Refusal) {
        app.trouble = e.code;
        least = e.retry;
        if (e.code === "secret" || e.code === "studio") {
          await locked();
          least = 60; // it may have been a mistake of somebody's, but not one that is mended in a second
        }
      }
    }
    app.contact.live = false;
    paint();
    await pause.next(least);
  }
}

// locked is what is left when the link opens nothing any more: the marks, and nothing to be seen.
async function locked() {
  if (app.trouble === "studio") secret = "";
  app.whole = app.whole && { link: app.whole.link, role: app.whole.role, event: app.whole.event, run: "", people: [], photographs: [], circles: [], blocks: [] };
  app.view = null;
  if (app.link) await keep.forget(app.link, false);
  secret = "";
  paint();
  if (!app.link) await new Promise(() => {}); // there is nothing to try again with
}

// leaveDevice wipes what is kept here, but for marks that are not sent.
export async function leaveDevice() {
  await server.leave(app.link).catch(() => {});
  await keep.forget(app.link, true);
  location.replace(location.pathname);
  location.reload();
}

export async function beginAnew() {
  try {
    await server.begin(app.link, newID(Date.now()));
    stop();
  } catch (e) {
    app.trouble = e.code || "lost";
    paint();
  }
}

export async function speak(tag) {
  use(tag);
  await keep.keepSetting("language", tag).catch(() => {});
  app.relearn = true; // reasons come in the language of the stream
  stop();
  document.querySelectorAll("*").forEach((e) => { e.signature = undefined; });
  paint();
}

async function begin() {
  await keep.openStore();
  await loadWords(await keep.setting("language").catch(() => ""));
  app.block = (await keep.setting("block").catch(() => null)) ?? null;
  await readPending();
  if (!app.link && !secret) app.link = (await keep.links()).sort((a, b) => b.used - a.used)[0]?.link || "";
  if (app.link && !secret) {
    const kept = await keep.view(app.link);
    if (kept?.whole) {
      app.view = kept;
      app.whole = kept.whole;
      app.offset = kept.offset || 0;
      app.contact.since = kept.heard ? kept.heard - app.offset : 0;
      useZone(app.whole.zone);
    }
  }
  if (!app.link && !secret) app.trouble = "nolink";
  paint();
  afterTouch(paint);
  setInterval(paint, 5000);
  addEventListener("hashchange", () => location.reload());
  if (isSecureContext && navigator.serviceWorker) navigator.serviceWorker.register("./sw.js", { scope: "./" }).then(() => navigator.serviceWorker.ready).then(() => { app.worker = true; paint(); }, () => {});
  navigator.storage?.persist?.().catch(() => {});
  if (app.link || secret) await follow();
}

begin().catch((e) => { announce(String(e)); throw e; });
