// What is seen: the head with clock, forecast and what is not sent, the tabs, and one view at a time.

import { app, paint, unsent, refused } from "./app.js";
import { keepSetting } from "./keep.js";
import { say, clock, number } from "./words.js";
import { h, button, put, find } from "./dom.js";
import { dropActs, nowView, nowActs, readerNow } from "./now.js";
import { listView, overview, peopleView, moreView } from "./lists.js";
import { paper } from "./paper.js";
import { stayAwake } from "./awake.js";

const tabsOf = { lead: ["now", "list", "overview", "people", "more"], owner: ["overview", "list", "now", "people", "more"], reader: ["now", "list", "more"] };

export const isReader = () => app.whole?.role === "reader";

let lastSaid = "";

// announce tells readers of the screen what has changed, once.
export function announce(text) {
  if (text === lastSaid) return;
  lastSaid = text;
  find("said").textContent = text;
}

export function show(m) {
  document.title = app.whole?.title || "kinorder";
  document.body.dataset.role = app.whole?.role || "";
  if (m && m.left.blocks.every((b) => b.block !== app.block)) chooseBlock(m);
  contact(m);
  head(m);
  tabs(m);
  if (!m) return nothingYet();
  const tab = app.tab;
  document.body.dataset.tab = tab;
  const acts = find("acts");
  switch (tab) {
    case "now":
      if (isReader()) readerNow(m); else nowView(m);
      break;
    case "list": listView(m); break;
    case "overview": overview(m); break;
    case "people": peopleView(m); break;
    case "more": moreView(m); break;
  }
  acts.hidden = tab !== "now" || isReader();
  if (!acts.hidden) nowActs(m);
  paper(m);
  stayAwake(tab === "now", m.state.last?.at || 0, m.now);
  announceNow(m);
}

// chooseBlock takes up the block that is being taken, or the one that comes first.
function chooseBlock(m) {
  const some = m.left.blocks.filter((b) => b.entries.length);
  app.block = (some.find((b) => b.entries[0].current) || some.sort((a, b) => (a.entries[0].at || 0) - (b.entries[0].at || 0))[0] || m.left.blocks[0])?.block ?? null;
}

// paintBlocks shows another block.
export function paintBlocks(block) {
  app.block = block;
  keepSetting("block", block).catch(() => {}); // two photographers have a phone each
  paint();
}

export const blockOf = (m) => m.left.blocks.find((b) => b.block === app.block) || { block: app.block, entries: [], drop: [] };

export const name = (m, id) => m.people.find((p) => p.id === id)?.name || id;
export const title = (m, id) => m.photographs.get(id)?.title || id;
export const bdi = (text) => h("bdi", {}, text);
// names are words in a line, each on its own as to direction.
export const names = (m, ids) => ids.flatMap((id, i) => [i ? say("comma") : "", bdi(name(m, id))]);

function head(m) {
  put(find("clock"), [clock(m?.now || Date.now()), Boolean(app.whole)], () => (app.whole?.run ? [h("span", { class: "unseen" }, say("time") + " "), clock(m?.now || Date.now())] : []));
  const b = m && blockOf(m);
  const f = b && b.finish && !isReader() ? forecast(b) : null; // a reader has names to call
  put(find("forecast"), f, () => (f ? [h("span", {}, f.finish), f.over && h("b", { class: f.late ? "late" : "early" }, f.over)] : []));
}

// forecast says in words when a block ends.
export function forecast(b) {
  const minutes = Math.round(b.over / 60_000);
  return {
    finish: say("finish", clock(b.finish)),
    over: b.closes ? (minutes > 0 ? say("over", minutes) : say("spare", -minutes)) : "",
    late: minutes > 0,
  };
}

// grace is how long a page that has just been opened may take to find the server, in ms: a line that
// comes and goes at once would push what is below it from under the thumb.
const grace = 2500;
const opened = performance.now();
setTimeout(() => paint(), grace);

function contact(m) {
  const lost = m && !app.contact.live && performance.now() - opened >= grace;
  const at = app.contact.since ? clock(app.contact.since + app.offset) : "";
  const line = find("contact");
  const stands = Boolean(m) && (lost || trouble() !== ""); // in the way
  line.hidden = !stands;
  put(line, [stands, at, app.trouble, app.unkept, document.documentElement.lang], () => stands && [
    trouble() || (at ? say("lost", at) : say("neverSeen")), isReader() ? "" : " " + say(app.unkept ? "notKept" : "kept"),
  ].map((t) => (typeof t === "string" ? document.createTextNode(t) : t)));
  const n = unsent().length, no = refused().length;
  const queue = find("unsent");
  queue.hidden = !n && !no && !(app.unkept && !lost);
  put(queue, [n, no, app.unkept, document.documentElement.lang], () => [
    n ? h("b", { "data-unsent": String(n) }, say("unsent", n)) : null, no ? h("b", { class: "bad" }, " " + say("refused", no)) : null,
    app.unkept ? h("span", {}, " " + say("notKept")) : null,
  ]);
}

// What stands in the way, where it is more than a lost signal.
const troubles = ["secret", "studio", "slow", "nosheet", "full", "store", "busy", "nolink", "broken", "cross", "gone"];
const trouble = () => (troubles.includes(app.trouble) ? say("trouble." + app.trouble) : "");

function tabs(m) {
  const nav = find("tabs");
  const list = m ? tabsOf[app.whole.role] : [];
  if (!list.includes(app.tab)) app.tab = list[0] || "";
  nav.hidden = !list.length;
  nav.setAttribute("aria-label", m ? say("views") : "");
  put(nav, [list, app.tab, document.documentElement.lang], () => list.map((t) =>
    button(say("tab." + t), () => go(t), { "data-key": "tab-" + t, "aria-current": t === app.tab ? "page" : undefined })));
}

export function go(tab) {
  app.tab = tab;
  app.first = null;
  app.find = ""; // what was searched for before would hide everybody else
  const main = find("main");
  main.signature = undefined;
  scrollTo(0, 0);
  paint();
}

function nothingYet() {
  find("acts").hidden = true;
  if (trouble()) wipe();
  const key = trouble() ? "" : app.whole ? "notBegun" : "opening";
  put(find("main"), [key, app.trouble, unsent().length, document.documentElement.lang], () => [
    h("h1", {}, app.whole?.title ? bdi(app.whole.title) : "kinorder"),
    h("p", { class: trouble() ? "alarm" : "lead" }, trouble() || say(key)),
    app.trouble === "secret" && unsent().length ? h("p", { class: "notice" }, say("unsent", unsent().length) + ". " + say("keptForLink")) : null,
  ]);
}

// wipe takes everything off the page that tells of the event.
function wipe() {
  if (find("dialog").open) find("dialog").close();
  for (const id of ["dialog", "paper", "said"]) {
    find(id).replaceChildren();
    find(id).signature = undefined;
  }
  dropActs();
}

let announced = "", shown = "";

function announceNow(m) {
  const first = blockOf(m).entries[0];
  const key = first ? `${first.id} ${first.current}` : "none";
  if (key === announced) return;
  announced = key;
  if (app.tab === "now" && first?.id !== shown) scrollTo(0, 0); // the title of what is next, and its first names
  shown = first?.id;
  if (!first) return announce(say(m.left.waiting.length ? "onlyWaiting" : "allTaken"));
  announce([say(first.current ? "taking" : "next"), title(m, first.id), first.in.length ? say("walkIn") + ": " + first.in.map((id) => name(m, id)).join(say("comma")) : ""].filter(Boolean).join(". "));
}

export const count = (m) => say("numberOf", m.left.count.done + 1, number(m.left.count.done + m.left.count.owed));
