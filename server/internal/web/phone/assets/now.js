// The view of what is taken now, for the lead and for the reader, and the lead's buttons.

import { app, mark } from "./app.js";
import { say, clock, length, number } from "./words.js";
import { h, button, put, find } from "./dom.js";
import { blockOf, name, names, title, bdi, count, isReader, paintBlocks } from "./views.js";
import { groupingDialog, missingDialog, personDialog, where } from "./dialogs.js";

const person = (m, id) => m.people.find((p) => p.id === id) || { id, name: id };

// called is one name as it is called: the name itself, how it is said, and what to be ready for.
export function called(m, id) {
  const p = person(m, id);
  const more = [p.relation && bdi(p.relation), ...(p.needs || []).map((n) => h("b", { class: "need" }, say(n)))].filter(Boolean);
  return h("li", {},
    h("span", { class: "name" }, bdi(p.name)),
    p.say ? h("span", { class: "say" }, say("say", p.say)) : null,
    more.length ? h("span", { class: "more" }, more.flatMap((x, i) => [i ? say("comma") : "", x])) : null);
}

function group(m, kind, label, ids, most) {
  if (!ids.length) return null;
  return h("section", { class: "group " + kind }, h("h2", {}, label, " ", h("span", { class: "howmany" }, number(ids.length))),
    h("ul", { class: ids.length > most ? "many" : ids.length > 6 ? "some" : "few" }, ids.map((id) => called(m, id))));
}

const line = (m, kind, label, ids) => (ids.length ? h("p", { class: "inline " + kind }, h("b", {}, label), " ", names(m, ids)) : null);

function choice(m) {
  const blocks = m.left.blocks.filter((b) => b.entries.length);
  if (blocks.length < 2) return null;
  const label = (id) => { const b = m.blocks.find((x) => x.id === id); return b?.title || b?.place || id; };
  return h("div", { class: "blocks", role: "group", "aria-label": say("blocks") }, blocks.map((b) =>
    button(label(b.block), () => paintBlocks(b.block), { dir: "auto", "data-key": "block-" + b.block, "aria-pressed": b.block === app.block ? "true" : "false" })));
}

// Each on its own: Arabic numbers that only a sign parts would change places.
const facts = (m, e) => [e.at ? clock(e.at) : "", length(e.length), e.frames ? say("frames", e.frames) : ""].filter(Boolean).map((f) => h("span", { class: "gap" }, bdi(f)));

// ended is shown when nothing can be taken: all is, or what is left waits for somebody, who is one touch
// away.
function ended(m) {
  const sought = Object.entries(m.state.people).filter(([id]) => m.left.waiting.some((w) => w.missing.includes(id)));
  return [
    choice(m),
    h("h1", { id: "title", class: "title" }, say(m.left.waiting.length ? "onlyWaiting" : "allTaken")),
    sought.length ? h("ul", { class: "rows" }, sought.map(([id, w]) => h("li", { class: "waits" }, isReader()
      ? h("p", { class: "lead" }, bdi(name(m, id)), " ", where(w))
      : button([h("span", { class: "what" }, bdi(name(m, id))), h("b", { class: "state" }, where(w))], () => personDialog(id), { "data-key": "person-" + id })))) : null,
    m.left.waiting.length ? h("ul", { class: "rows" }, m.left.waiting.map((w) => h("li", {}, isReader()
      ? h("p", {}, bdi(title(m, w.id)))
      : button(h("span", { class: "what" }, bdi(title(m, w.id))), () => groupingDialog(w.id), { "data-key": "row-" + w.id })))) : null,
  ];
}

export function nowView(m) {
  const b = blockOf(m), e = b.entries[0], then = b.entries[1];
  const seen = [b.block, e, then, m.left.count, m.left.waiting, m.state.people, m.left.blocks.map((x) => [x.block, x.entries.length > 0]), m.state.groupings[e?.id], document.documentElement.lang, "lead"];
  put(find("main"), seen, () => {
    if (!e) return ended(m);
    const without = m.state.groupings[e.id]?.without || [];
    return [
      choice(m),
      h("p", { class: "where" }, h("b", { class: e.current ? "taking" : "next" }, say(e.current ? "taking" : "next")), " ", count(m), e.later ? say("comma") + say("putOff") : ""),
      h("h1", { id: "title", class: "title" }, bdi(title(m, e.id))),
      h("p", { class: "facts" }, facts(m, e)),
      e.wait ? h("p", { class: "notice" }, say("waitFirst", length(e.wait))) : null,
      e.missing.length ? h("p", { class: "alarm" }, say("missingNow"), " ", names(m, e.missing)) : null,
      without.length ? h("p", { class: "notice" }, say("without"), " ", names(m, without)) : null,
      group(m, "in", say("walkIn"), e.in, 14) || h("p", { class: "inline" }, h("b", {}, say("nobodyNew"))),
      line(m, "stay", say("stay"), e.stay),
      line(m, "out", say("walkOut"), e.out),
      line(m, "free", say("free"), e.released),
      line(m, "near", say("near"), e.near || []),
      then ? h("section", { class: "then" }, h("h2", {}, say("then"), " ", bdi(title(m, then.id))), line(m, "ready", say("ready"), e.standby.length ? e.standby : then.in)) : h("p", { class: "then" }, say("lastOne")),
    ];
  });
}

// What a mark was about, in words.
export function told(m, x) {
  const what = x.grouping ? title(m, x.grouping) : x.person ? name(m, x.person) : x.grouped ? x.grouped.title : "";
  return say("told." + x.kind, what, x.until ? clock(x.until) : "");
}

// The buttons of the lead stay where they are and what they are while the page changes around them: one
// that was put in anew between the thumb's touch and its lifting would not be pressed.
let acts = null;

function makeActs() {
  acts = { told: h("span"), undo: button("", () => acts.undo.act(), { id: "undo" }) };
  for (const id of ["missing", "later", "start", "taken"]) acts[id] = button("", () => acts[id].act(), { id, class: id === "taken" ? "main" : undefined });
  acts.last = h("div", { class: "last" }, acts.told, acts.undo);
  acts.row = h("div", { class: "row" }, acts.missing, acts.later, acts.start);
  find("acts").replaceChildren(acts.last, acts.row, acts.taken);
}

export function dropActs() {
  acts = null;
  find("acts").replaceChildren();
}

const set = (b, text, act, label) => {
  if (b.textContent !== text) b.textContent = text;
  if (label) b.setAttribute("aria-label", label);
  b.act = act;
};

// A thumb that bounces must not take the next one too: nobody takes two within a second.
const rest = 800;

function take(at) {
  const b = acts.taken;
  if (b.getAttribute("aria-disabled") === "true") return;
  b.setAttribute("aria-disabled", "true");
  setTimeout(() => b.removeAttribute("aria-disabled"), rest);
  mark({ kind: "taken", ...at });
}

export function nowActs(m) {
  if (!acts) makeActs();
  const e = blockOf(m).entries[0], last = m.state.last, at = { grouping: e?.id, block: app.block };
  acts.last.hidden = !last;
  acts.row.hidden = acts.taken.hidden = !e;
  if (last) {
    if (acts.told.textContent !== told(m, last)) acts.told.textContent = told(m, last);
    set(acts.undo, say("undo"), () => mark({ kind: "undone", undoes: last.id }), say("undoThis", told(m, last)));
  }
  if (!e) return;
  set(acts.missing, say("missing"), () => missingDialog(e.id));
  set(acts.later, say("later"), () => mark({ kind: "skipped", ...at }));
  if (e.current) set(acts.start, say("notNow"), () => mark({ kind: "put_back", ...at }));
  else set(acts.start, say("start"), () => mark({ kind: "started", ...at }));
  set(acts.taken, say("taken"), () => take(at), say("told.taken", title(m, e.id)));
}

export function readerNow(m) {
  const b = blockOf(m), e = b.entries[0], then = b.entries[1];
  put(find("main"), [b.block, e, then, m.left.count, m.left.waiting, m.state.people, document.documentElement.lang, "reader"], () => {
    if (!e) return ended(m);
    const ready = e.standby.length || !then ? e.standby : then.in;
    return [
      choice(m),
      h("p", { class: "where" }, h("b", { class: e.current ? "taking" : "next" }, say(e.current ? "taking" : "next")), " ", count(m)),
      h("h1", { id: "title", class: "title" }, bdi(title(m, e.id))),
      group(m, "in call", say("callNow"), e.in, 24) || h("p", { class: "inline" }, h("b", {}, say("nobodyNew"))),
      line(m, "stay", say("stay"), e.stay),
      line(m, "out", say("walkOut"), e.out),
      line(m, "free", say("free"), e.released),
      then ? h("section", { class: "then" }, h("h2", {}, say("then"), " ", bdi(title(m, then.id))), group(m, "ready", say("ready"), ready, 14)) : h("p", { class: "then" }, say("lastOne")),
    ];
  });
}
