// What is known, and all that changes it: the other parts read app and call what is exported here.

import { fold } from "./fold.js";
import { here, left } from "./outlook.js";
import { keepSetting } from "./keep.js";
import { givenLink } from "./secret.js";

export const app = {
  link: givenLink,
  whole: null, // what does not change while the run goes on
  view: null, // what the server said last: {run, sequence, lastMark, covers, marks, added, plan}
  pending: new Map(), // marks of this device that the server's list does not hold
  offset: 0, // the server's clock less this one's
  worker: false, // the page opens without signal
  contact: { live: false, since: 0 },
  core: "", // whether this phone can plan: "ready" or "none" when that is known
  out: [], // the phones that are out of touch: {at, who, reads}
  away: 0, // since when one of a photographer is
  trouble: "", // the code of what stands in the way
  unkept: false, // something could not be kept on this device
  tab: "",
  find: "", // the name that is searched for
  first: null, // who comes first in the view of people
  block: null,
  passed: new Set(), // photos that a caller has gone past without a mark
  waitsFor: new Set(), // whom to wait for all the same, though they have left
  as: "", // what a reader's link is for: "finder", or calling names
  found: {}, // when a finder ticked somebody
  side: "", // whom a finder looks for
};

export const now = () => Date.now() + app.offset;

// marks says that the holder of this phone says what happens; a planner or the couple watch.
export const marks = () => app.whole?.role === "lead";

export const isReader = () => app.whole?.role === "reader";
export const isFinder = () => isReader() && app.as === "finder";

// tells says that the holder of this phone may say who is here and who leaves.
export const tells = () => marks() || isReader();

// model puts together what the views show.
export function model() {
  // Nothing is shown before the server has said how far it is, and for a moment not before its first plan:
  // an order that changes under the thumb is worse than none.
  if (!app.whole?.run || !app.view?.heard || (!app.view.plan && now() - app.view.heard < 4000)) return null;
  const held = new Set(app.view.marks.map((m) => m.id));
  const ours = (p) => p.event === app.whole.event && p.run === app.whole.run;
  const mine = [...app.pending.values()].filter((p) => ours(p) && !p.refused && !held.has(p.id));
  const pending = mine.map((p) => ({ ...p.mark, at: p.mark.at + app.offset, by: app.link }));
  const marks = [...app.view.marks, ...pending], state = fold(marks);
  const heeded = app.view.plan && app.view.covers >= app.view.lastMark && mine.length === 0;
  const own = heeded ? null : ownPlan(marks);
  const people = expected(everybody(state), state);
  const m = {
    photographs: allPhotographs(state, people), people, blocks: app.whole.blocks, state, marks,
    plan: own?.plan || app.view.plan, own: Boolean(own?.fresh), fresh: Boolean(heeded || own?.fresh),
    now: Math.floor(now() / 60_000) * 60_000, block: app.block,
  };
  m.left = left(m);
  const lines = !m.own && mine.some(overturns) ? [] : app.view.lines || [];
  const swapped = m.plan?.swapped;
  m.swapped = swapped && m.now - swapped.at < 10 * 60_000 ? swapped : null;
  const seen = (l) => l.said?.Key === "plan.changedAgain" && m.left.blocks.some((b) => b.entries[0]?.id === l.of?.[0]);
  m.changed = lines.filter((l) => m.now - l.at < 3 * 60_000 && holds(m, l) && !seen(l))
    .map(({ said, of = [] }) => ({ said, of }));
  return m;
}

// The marks that a plan heeds: notes change none.
const weighing = (marks) => marks.filter((m) => m.kind !== "note").map((m) => m.id);

// ownPlan is what this phone planned while the server did not, if it heeds all marks, or goes on from what the server
// planned last.
function ownPlan(marks) {
  const own = app.view.own, ids = weighing(marks);
  if (!own) return null;
  const of = new Set(own.of), fresh = ids.length === of.size && ids.every((id) => of.has(id));
  return fresh || own.base === (app.view.plan?.made || 0) ? { plan: own.plan, fresh } : null;
}

// planHere takes in what this phone planned for some marks, going by what the server planned then.
export function planHere(plan, marks, base) {
  if (!app.view) return;
  app.view.own = { plan, of: weighing(marks), base };
  tell(app.view, plan, now());
}

export function useCore(is) { app.core = is; }

// What was said of the order before is not true any more when somebody takes something back, or is here.
const overturns = (m) => ["undone", "arrived"].includes((m.mark || m).kind);

// holds says that what was said of photographs is so still: all are to be taken, in the order or out of it as then, and
// here.
function holds(m, { of = [], planned }) {
  const due = (id) => m.left.blocks.some((b) => b.entries.some((e) => e.id === id));
  const open = (id) => due(id) || m.left.waiting.some((w) => w.id === id);
  return of.every(open) && (!of.length || due(of[0]) === planned && of.some((id) => here(m, id)));
}

// everybody lists who is on the list and who joined on the day.
function everybody(state) {
  const listed = new Set(app.whole.people.map((p) => p.id));
  const joined = Object.entries(state.joined).filter(([id]) => !listed.has(id)).sort();
  const listedToday = app.whole.people.map((p) => (state.joined[p.id] ? { ...p, absent: false } : p));
  return [...listedToday, ...joined.map(([id, j]) => ({ id, name: j.name, joined: true }))];
}

// expected puts into the state who comes later or leaves earlier by the list, until a mark says what is so. Times of
// another day, as in a rehearsal, mean nothing.
function expected(people, state) {
  const today = (at) => (at && Math.abs(at - now()) < 12 * 3600_000 ? at : 0);
  return people.map((p) => {
    if (p.absent || state.about[p.id]) return p;
    const from = today(p.from), leaves = today(p.until), gone = leaves && leaves <= now();
    if (from && !gone) state.people[p.id] = { presence: "coming", until: from };
    else if (leaves && !gone) state.people[p.id] = { presence: "leaving", until: leaves };
    return { ...p, leaves };
  });
}

// allPhotographs are those of the list and of the day, with whoever joined.
function allPhotographs(state, people) {
  const photographs = new Map(app.whole.photographs.map((p) => [p.id, p]));
  const added = new Map(app.view.added.map((p) => [p.id, p])), known = new Set(people.map((p) => p.id));
  for (const g of state.added) {
    const p = { must: g.must, ...(added.get(g.id) || { id: g.id, title: g.title, members: g.members }) };
    photographs.set(g.id, { ...p, members: p.members.filter((id) => known.has(id)) });
  }
  for (const [id, j] of Object.entries(state.joined)) {
    for (const g of j.groupings) {
      const p = photographs.get(g);
      if (p && !p.members.includes(id)) photographs.set(g, { ...p, emptied: false, members: [...p.members, id] });
    }
  }
  for (const [id, p] of photographs) if (p.emptied) photographs.delete(id);
  for (const [id, { only, rank }] of Object.entries(state.groupings)) {
    const p = photographs.get(id);
    if (!p || !(only || rank)) continue;
    photographs.set(id, { ...p, blocks: only ? [only] : p.blocks, must: rank ? rank === "must" : p.must });
  }
  return photographs;
}

// Marks that are not known to be kept by the server, and those that it refused.
const ours = (p) => !app.whole || p.event === app.whole.event; // of the event that is open, or of any
export const unsent = () => [...app.pending.values()].filter((p) => !p.sent && !p.refused && ours(p));
export const refused = () => [...app.pending.values()].filter((p) => p.refused && ours(p));

const tabsOf = {
  lead: ["now", "list", "overview", "people", "more"], owner: ["overview", "list", "people", "more"],
  reader: ["now", "list", "people", "more"], finder: ["now", "people", "more"],
};

export const tabs = (m) => (m ? tabsOf[isFinder() ? "finder" : app.whole.role] : []);

// firstBlock is the block that this link marked in last, else that of the photographer whose it is, or of those of the
// first photographer the one that is being taken, or comes first: whatever a second one does just now.
function firstBlock(m) {
  const begun = m.left.blocks.filter((b) => b.entries.length), of = (id) => begun.find((b) => b.block === id);
  const crew = (b) => m.blocks.find((x) => x.id === b.block)?.crew, first = Math.min(...begun.map(crew));
  const some = begun.filter((b) => crew(b) === first);
  const taken = of(m.state.mine[app.link]?.block) || of(app.whole.stands) || some.find((b) => b.entries[0].current);
  const earliest = some.sort((a, b) => (a.entries[0].at || 0) - (b.entries[0].at || 0))[0];
  return (taken || earliest || m.left.blocks[0])?.block ?? null;
}

let show = () => {};

// shownBy names the function that is given the model whenever something has changed.
export function shownBy(f) { show = f; }

// paint shows what is known, with a tab and a block that there are.
export function paint() {
  const m = model();
  if (!tabs(m).includes(app.tab)) app.tab = tabs(m)[0] || "";
  // Whoever stands at a block stays there when it is closed: where to go on is for them to press.
  const places = m ? [...m.left.blocks.map((b) => b.block), ...m.blocks.map((b) => b.id)] : [];
  if (m?.left.blocks.length && !places.includes(app.block)) {
    showBlock(firstBlock(m));
    return paint(); // what is here and elsewhere depends on it
  }
  // Those who were away when the view was opened come first. Nobody moves while it is open: the next touch
  // would be somebody else.
  if (app.tab === "people") app.first ??= new Set(Object.keys(m.state.people));
  show(m);
}

export function showTab(tab) {
  app.tab = tab;
  app.first = null;
  app.find = ""; // what was searched for before would hide everybody else
}

// showBlock has this device stand at a block, also after it was loaded again: two photographers have a phone each.
export function showBlock(block) {
  app.block = block;
  if (block !== null) keepSetting("block", block).catch(() => {});
}

// waitFor asks no more about what somebody who has left is missing in.
export function waitFor(id) { app.waitsFor.add(id); }

// stepOn goes past a photo that was taken while there was no signal.
export function stepOn(id) { app.passed.add(id); }
export function stepBack(id) { app.passed.delete(id); }

export function useAs(as, found = {}, side = "") { Object.assign(app, { as, found, side }); }

export function find(id, at) {
  app.found = { ...app.found, [id]: at };
  keepSetting("found", app.found).catch(() => {});
}

export function standOn(side) {
  app.side = side;
  keepSetting("side", side).catch(() => {});
}

export function search(text) { app.find = text; }

// hold takes marks of this device in.
export function hold(entries) {
  for (const e of entries) app.pending.set(e.id, e);
}

// sent notes that the server has marks.
export function sent(entries) {
  for (const e of entries) e.sent = true;
  app.trouble = "";
}

// setAside notes why the server refused a mark.
export function setAside(entry, why) { entry.refused = why; }

export function drop(ids) {
  for (const id of ids) app.pending.delete(id);
}

export function notKept() { app.unkept = true; }

export function trouble(code) { app.trouble = code; }

// heard notes that the server was heard, and which phones are out of touch, as far as it said so.
export function heard(at, out = app.out) {
  app.out = out;
  app.away = out.find((x) => !x.reads)?.at || 0;
  const off = at - Date.now();
  app.offset = Math.abs(off) < 2000 ? 0 : off;
  app.contact = { live: true, since: Date.now() };
  if (!app.away) app.passed.clear();
  if (app.view) app.view.offset = app.offset;
}

// newer notes whether the list was changed after the run began.
export function newer(is) { app.whole.newer = Boolean(is); }

export function lostContact() { app.contact.live = false; }

// take takes in what the server said is new.
export function take(u) {
  const v = app.view, seen = new Set(v.marks.map((m) => m.id));
  heard(u.now, u.away ?? app.out);
  v.marks.push(...u.marks.filter((m) => !seen.has(m.id)));
  const { sequence, lastMark, covers } = u;
  Object.assign(v, { sequence, lastMark, covers, added: u.added ?? v.added, plan: u.plan ?? v.plan, heard: u.now });
  if (u.marks.some(overturns)) v.lines = [];
  drop(u.marks.map((m) => m.id));
  if (u.plan) tell(v, u.plan, u.now);
}

// tell remembers what a plan says of its order.
function tell(v, plan, at) {
  const due = (id) => plan.blocks.some((b) => b.entries.some((e) => e.id === id));
  const lines = (plan.changes || []).map((l) => ({ ...l, at, planned: due(l.of?.[0]) }));
  // What has moved is said for some minutes, other lines with each plan anew.
  v.lines = lines.length ? lines : (v.lines || []).filter((l) => l.of);
}

// adopt takes in what a link opened. What was said of its run stays.
export function adopt(whole) {
  const before = app.view;
  app.link = whole.link;
  app.whole = whole;
  app.trouble = "";
  app.contact = { live: true, since: Date.now() };
  if (!before || before.link !== whole.link || before.run !== (whole.run || "")) startOver();
}

// startOver forgets what the server said of the run.
export function startOver() {
  app.view = {
    link: app.link, run: app.whole.run || "", sequence: 0, lastMark: 0, covers: 0, marks: [], added: [], plan: null,
  };
}

// shut is what is left when the link opens nothing any more: the marks, and nothing to be seen.
export function shut() {
  if (app.whole) {
    const { link, role, event } = app.whole;
    app.whole = { link, role, event, run: "", people: [], photographs: [], circles: [], blocks: [] };
  }
  app.view = null;
}

export function useLink(link) { app.link = link; }

// restore takes in what this device kept of a link.
export function restore(kept) {
  app.view = kept;
  app.whole = kept.whole;
  app.offset = kept.offset || 0;
  app.contact.since = kept.heard ? kept.heard - app.offset : 0;
}

export function opensAlone() { app.worker = true; }
