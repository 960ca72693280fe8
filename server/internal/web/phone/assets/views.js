// What is seen: the head with clock, forecast and what is not sent, the tabs, and one view at a time.

import { app, isFinder, isReader, marks, paint, refused, showTab, tabs, unsent } from "./state.js";
import { say, clock } from "./words.js";
import { h, button, put, find, stale } from "./dom.js";
import { lateDialog } from "./dialogs.js";
import { bdi, blockOf, ending, forecast, name, standstill, title } from "./parts.js";
import { dropActs, nowView, nowActs, readerNow } from "./now.js";
import { finderNow } from "./finder.js";
import { here } from "./outlook.js";
import { listView, overview, peopleView, moreView } from "./lists.js";
import { paper } from "./paper.js";
import { stayAwake } from "./awake.js";

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
  contact(m);
  head(m);
  tabBar(m);
  if (!m) return nothingYet();
  const tab = app.tab;
  document.body.dataset.tab = tab;
  const acts = find("acts");
  switch (tab) {
    case "now":
      if (isFinder()) finderNow(m); else if (isReader()) readerNow(m); else nowView(m);
      break;
    case "list": listView(m); break;
    case "overview": overview(m); break;
    case "people": peopleView(m); break;
    case "more": moreView(m); break;
  }
  acts.hidden = tab !== "now" || !marks();
  if (!acts.hidden) nowActs(m);
  paper(m);
  stayAwake(tab === "now", m.state.last?.at || 0, m.now);
  announceNow(m);
}

function head(m) {
  const time = clock(m?.now || Date.now());
  put(find("clock"), [time, Boolean(app.whole)], () =>
    (app.whole?.run ? [h("span", { class: "unseen" }, say("time") + " "), time] : []));
  const b = m && blockOf(m);
  const f = b && b.finish && !isReader() ? forecast(b) : null; // a reader has names to call
  const waits = f ? m.left.waiting.filter((w) => !w.left && here(m, w.id)).length : 0;
  put(find("forecast"), [f, waits], () => (!f ? [] : f.late && marks()
    ? button(ending(f), () => lateDialog(b.block), { id: "late" }) : ending(f, waits)));
}

// grace is how long a page that has just been opened may take to find the server, in ms: a line that
// comes and goes at once would push what is below it from under the thumb.
const grace = 2500;
const opened = performance.now();
setTimeout(() => paint(), grace);

function contact(m) {
  const lost = m && !app.contact.live && performance.now() - opened >= grace;
  const at = app.contact.since ? clock(app.contact.since + app.offset) : "";
  const away = m && !lost && m.left.blocks.some((b) => b.entries.length) ? outOfTouch() : "";
  const line = find("contact"), n = unsent().length, no = refused().length;
  const stands = Boolean(m) && (lost || away || trouble() !== ""); // in the way
  line.hidden = !stands;
  const own = lost && marks() ? order(m) : "", language = document.documentElement.lang;
  put(line, [stands, at, away, own, n > 0, app.trouble, app.unkept, language], () => stands && [
    trouble() || (away || (at ? say("lost", at) : say("neverSeen"))),
    own && " " + own,
    away ? "" : isReader() ? (lost ? " " + say("behind") : "")
      : app.unkept ? " " + say("notKept") : n ? "" : h("span", { class: "roomy" }, " " + say("kept")),
  ].map((t) => (typeof t === "string" ? document.createTextNode(t) : t)));
  const queue = find("unsent");
  queue.hidden = !n && !no && !(app.unkept && !lost);
  put(queue, [n, no, app.unkept, document.documentElement.lang], () => [
    n ? h("b", { "data-unsent": String(n) }, say("unsent", n)) : null,
    no ? h("b", { class: "bad" }, " " + say("refused", no)) : null,
    app.unkept ? h("span", {}, " " + say("notKept")) : null,
  ]);
}

// outOfTouch says whose phone is: a photographer's, for all, or that of whoever calls names, for photographers.
function outOfTouch() {
  const out = app.out.find((x) => !x.reads) || (marks() && app.out[0]);
  if (!out) return "";
  const who = out.who || say(out.reads ? "aCaller" : "aLead");
  return say(out.reads ? "callerAway" : "leadAway", clock(out.at), who);
}

// order says what is in force where it is not the server's plan.
function order(m) {
  if (m.own) return say("plannedHere");
  return app.core === "none" && !m.fresh ? say("orderStays") : "";
}

// What stands in the way, where it is more than a lost signal.
const troubles = [
  "secret", "studio", "slow", "nosheet", "full", "store", "busy", "nolink", "broken", "cross", "gone",
];
const trouble = () => (troubles.includes(app.trouble) ? say("trouble." + app.trouble) : "");

function tabBar(m) {
  const nav = find("tabs");
  const list = tabs(m);
  nav.hidden = !list.length;
  nav.setAttribute("aria-label", m ? say("views") : "");
  put(nav, [list, app.tab, document.documentElement.lang], () => list.map((t) => button(say("tab." + t), () => go(t),
    { "data-key": "tab-" + t, "aria-current": t === app.tab ? "page" : undefined })));
}

function go(tab) {
  showTab(tab);
  stale(find("main"));
  scrollTo(0, 0);
  paint();
}

function nothingYet() {
  find("acts").hidden = true;
  if (trouble()) wipe();
  const key = trouble() ? "" : app.whole ? "notBegun" : "opening";
  const waiting = app.trouble === "secret" && unsent().length;
  put(find("main"), [key, app.trouble, unsent().length, document.documentElement.lang], () => [
    h("h1", {}, app.whole?.title ? bdi(app.whole.title) : "kinorder"),
    h("p", { class: trouble() ? "alarm" : "lead" }, trouble() || say(key)),
    waiting ? h("p", { class: "notice" }, say("unsent", waiting) + ". " + say("keptForLink")) : null,
  ]);
}

// wipe takes everything off the page that tells of the event.
function wipe() {
  if (find("dialog").open) find("dialog").close();
  for (const id of ["dialog", "paper", "said"]) {
    find(id).replaceChildren();
    stale(find(id));
  }
  dropActs();
}

// toTop shows the title of what is next, and its first names: a head that is not held in place and takes much of a
// small screen, or of one with large letters, is above.
export function toTop() {
  const head = document.querySelector("header");
  const tall = getComputedStyle(head).position === "static" && head.offsetHeight > innerHeight / 5;
  scrollTo(0, tall ? head.offsetHeight : 0);
}

let announced = "", shown = "";

function announceNow(m) {
  const first = blockOf(m).entries[0];
  const key = first ? `${first.id} ${first.current} ${first.in}` : "none";
  if (key === announced) return;
  announced = key;
  if (app.tab === "now" && first?.id !== shown) toTop();
  shown = first?.id;
  if (!first) return announce(standstill(m));
  const called = first.in.map((id) => name(m, id)).join(say("comma"));
  announce([
    say(first.current ? "taking" : "next"), title(m, first.id), called ? say("walkIn") + ": " + called : "",
  ].filter(Boolean).join(". "));
}
