// What several views and dialogs show alike: names, titles, and when a block ends.

import { app } from "./state.js";
import { say, sentence, clock, dateOf, dayOf, language, list, number } from "./words.js";
import { h } from "./dom.js";
import { here } from "./outlook.js";

export const bdi = (text) => h("bdi", {}, text);
export const name = (m, id) => m.people.find((p) => p.id === id)?.name || id;
// title is what the sheet of the language calls a photograph.
export function title(m, id) {
  const p = m.photographs.get(id);
  return p?.titles?.[language()] || p?.title || id;
}
// joined puts words into a line, each on its own as to direction.
export const joined = (parts) => parts.flatMap((p, i) => [i ? say("comma") : "", bdi(p)]);
export const names = (m, ids) => joined(ids.map((id) => name(m, id)));

// tied says whose somebody is, and on which side.
export const tied = (p) => joined([p.relation, p.side].filter(Boolean));

// paperNumber is the number that a photograph has on the sheet that people hold.
export function paperNumber(m, id) {
  const n = m.plan?.numbers?.[id];
  return n ? h("span", { class: "number" }, say("paperNumber", n)) : null;
}

// count says how far the photographer is whose place it is: two who work beside each other have a list each.
export function count(m) {
  const crew = (id) => m.blocks.find((x) => x.id === id)?.crew, mine = (id) => crew(id) === crew(m.block);
  const done = m.state.slots.filter((s) => m.state.groupings[s.grouping]?.status === "done" && mine(s.block)).length;
  const due = m.left.blocks.filter((b) => mine(b.block)).flatMap((b) => b.entries);
  const owed = due.length + m.left.waiting.filter((w) => here(m, w.id)).length;
  return say("numberOf", done + due.filter((e) => app.passed.has(e.id)).length + 1, number(done + owed));
}

export const blockOf = (m) =>
  m.left.blocks.find((b) => b.block === app.block) || { block: app.block, entries: [], drop: [] };

// blockTitle is what a block is called, else where it is; the place comes first when it is another one today.
export function blockTitle(m, id) {
  const title = m.blocks.find((x) => x.id === id)?.title, place = placeOf(m, id);
  return title && m.state.blocks[id]?.place ? `${place} (${title})` : title || place;
}

// swapped says on every phone that the list was changed, and what that changed.
export const swapped = (m) => (m.swapped ? h("p", { class: "notice changed", id: "swapped" },
  m.swapped.said.flatMap((x) => [bdi(sentence(x)), " "]), say("listChanged", clock(m.swapped.at))) : null);

// elsewhere are the other blocks in which something is left.
export const elsewhere = (m) => m.left.blocks.filter((b) => b.entries.length && b.block !== app.block);

// placeOf is where a block is today.
export const placeOf = (m, id) => m.state.blocks[id]?.place || m.blocks.find((x) => x.id === id)?.place || "";

// otherDay is the date of the list when it is not today's.
export function otherDay(m) {
  const { date } = app.whole;
  return date && date !== dayOf(m.now) && date !== dayOf(m.now - 6 * 3600_000) ? dateOf(date) : "";
}

// forecast says in words when a block ends, and how far off that is unless it is of another day.
export function forecast(b) {
  const minute = (ms) => Math.floor(ms / 60_000); // as the clock shows it
  const minutes = minute(b.finish) - minute(b.closes), near = Math.abs(minutes) < 12 * 60, late = near && minutes > 0;
  return {
    finish: say("finish", clock(b.finish)),
    over: b.closes && near ? (late ? say("over", minutes) : say("spare", -minutes)) : "",
    late,
  };
}

// What waits for somebody is not in it: as long as there is any nobody has time to spare.
export const ending = (f, waits = 0) => [
  h("span", {}, f.finish),
  waits && !f.late ? h("b", { class: "late" }, say("waiting"), say("colon"), " ", number(waits))
    : f.over && h("b", { class: f.late ? "late" : "early" }, f.over),
];

// where says where somebody is who is not here.
export function where(w) {
  if (w.presence === "missing") return say("isMissing");
  if (w.presence === "leaving") return say("leavesAtTime", clock(w.until));
  return w.presence === "left" ? say("hasLeft") : say("comesAtTime", clock(w.until));
}

// whereabouts names people, each with where they are.
export const whereabouts = (m, ids) => joined(ids.map((id) => {
  const w = m.state.people[id];
  return w ? `${name(m, id)} (${where(w)})` : name(m, id);
}));

// told is what a press was about, in words: of one that made several marks it is the first, and what it puts back goes
// along.
export function told(m, last) {
  const press = (last.press || []).map((id) => m.marks.find((y) => y.id === id)).filter(Boolean);
  const main = press.filter((y) => y.kind !== "put_back"), lost = main.filter((y) => y.kind === "absent");
  if (press.length > 1 && lost.length && lost.length === main.length) {
    return say("told.absent", list(lost.map((y) => name(m, y.person))));
  }
  const x = { ...main[0] || last, press: last.press };
  const rest = () => x.grouped?.title || (x.block && blockTitle(m, x.block)) || "";
  if (x.kind === "block" && x.closed) return say("told.closed", blockTitle(m, x.block));
  if (x.kind === "without" && !x.people?.length) return say("told.waits", title(m, x.grouping));
  if (x.kind === "block" && x.press?.length > 1) return say("told.allMoved");
  if (x.kind === "block" && (x.place || "") !== (before(m, x).place || "")) {
    const was = m.blocks.find((b) => b.id === x.block);
    return say("told.place", was?.title || was?.place || "", x.place || placeOf(m, x.block));
  }
  if (x.kind === "block") return toldOfTimes(m, x);
  if (x.kind === "joined" && x.name) return say("told.added", x.name);
  const what = x.grouping ? title(m, x.grouping) : x.person ? name(m, x.person) : rest();
  const more = (x.press?.length || 1) - 1;
  return say("told." + x.kind, what, x.until ? clock(x.until) : "") + (more ? say("facts") + say("andMore", more) : "");
}

// before is what was said of a block before a mark.
const before = (m, x) => m.marks.filter((y) => y.kind === "block" && y.block === x.block && y.at < x.at)
  .sort((a, b) => a.at - b.at).at(-1) || {};

// toldOfTimes says which end of a time slot was moved, or both.
function toldOfTimes(m, x) {
  const of = m.blocks.find((b) => b.id === x.block) || {}, was = before(m, x), what = of.title || of.place || "";
  const opens = x.opens || of.opens || 0, closes = x.closes || of.closes || 0;
  if (opens !== (was.opens || of.opens || 0)) return say("told.moved", what, clock(opens));
  if (closes !== (was.closes || of.closes || 0)) return say("told.ends", what, clock(closes));
  return say("told.block", what);
}

// called is one name as it is called: the name itself, how it is said, and what to be ready for.
export const called = (m, id) => h("li", {}, calledParts(m, id));

export function calledParts(m, id) {
  const p = m.people.find((x) => x.id === id) || { id, name: id };
  const needs = (p.needs || []).map((n) => h("b", { class: "need" }, say(n)));
  const by = p.by?.length && h("span", { class: "by" }, bdi(say("calledBy", list(p.by.map((x) => name(m, x))))));
  const kin = p.relation && h("span", { class: "kin" }, bdi(p.relation));
  const more = [p.joined && h("b", { class: "need" }, say("isNew")), ...needs, kin, by].filter(Boolean);
  return [
    h("span", { class: "name" }, bdi(p.name)), " ",
    p.say ? [h("span", { class: "say" }, say("say", p.say)), " "] : null,
    more.length ? h("span", { class: "more" },
      more.map((x, i) => [i ? h("span", { class: x.className }, say("comma")) : "", x])) : null,
  ];
}

// standstill says why nothing can be taken here: it is elsewhere, what is left waits, the plan has no place for it, or
// nothing is left.
export function standstill(m) {
  const waits = m.left.waiting.filter((w) => !w.left);
  if (waits.some((w) => here(m, w.id))) return say("onlyWaiting");
  if (elsewhere(m).length) return say("doneHere");
  if (waits.length) return say("onlyWaiting");
  return say(m.left.waiting.length ? "noPlace" : "allTaken");
}
