// The view of what is taken now, for the lead and for the reader, and the lead's buttons.

import { app, isReader, marks, now, paint, showBlock, stepBack, stepOn } from "./state.js";
import { mark } from "./contact.js";
import { say, sentence, clock, length, number } from "./words.js";
import { h, button, put, find } from "./dom.js";
import {
  bdi, blockOf, blockTitle, called, count, elsewhere, name, names, otherDay, title, paperNumber,
  standstill, swapped, told, where, whereabouts,
} from "./parts.js";
import { dueElsewhere, free, here, stepOut } from "./outlook.js";
import { asking, callable, elsewhereFirst, folded, lacking, leaving, questions, without } from "./notices.js";
import { groupingDialog, missingDialog } from "./dialogs.js";
import { personDialog } from "./people.js";

// circlesIn are the largest circles that are called whole, and who is left: many are called by groups.
function circlesIn(ids) {
  const whole = [];
  let left = ids;
  const circles = ids.length > 6 && isReader() ? app.whole.circles || [] : [];
  for (const c of [...circles].sort((a, b) => b.people.length - a.people.length)) {
    if (c.people.length < 3 || c.people.length === ids.length || !c.people.every((p) => left.includes(p))) continue;
    whole.push(c);
    left = left.filter((p) => !c.people.includes(p));
  }
  return { whole, left };
}

// Whoever joined on the day is on no paper, so they come first; those whom the day is about stand there anyway: where
// others are called they come last, and nobody need shout their names.
function group(m, kind, label, ids, most) {
  if (!ids.length) return null;
  const is = (what) => (id) => Boolean(m.people.find((p) => p.id === id)?.[what]);
  const others = ids.filter((id) => !is("about")(id));
  const rest = isReader() && others.length ? ids.filter(is("about")) : [], all = rest.length ? others : ids;
  const { whole, left } = circlesIn([...all.filter(is("joined")), ...all.filter((id) => !is("joined")(id))]);
  const size = all.length > most ? "many" : all.length > (isReader() ? 6 : 4) ? "some" : "few";
  const people = (list) => list.map((id) => called(m, id)), joined = left.filter(is("joined"));
  return h("section", { class: "group " + kind },
    h("h2", {}, label, " ", h("span", { class: "howmany" }, number(ids.length))),
    h("ul", { class: size }, people(joined),
      whole.map((c) => [h("li", { class: "circle" }, bdi(c.title)), people(c.people)]),
      whole.length && left.length > joined.length ? h("li", { class: "circle" }) : null,
      people(left.filter((id) => !joined.includes(id)))),
    line(m, "about", "", rest));
}

const line = (m, kind, label, ids) =>
  (ids.length ? h("p", { class: "inline " + kind }, label && [h("b", {}, label), " "], names(m, ids)) : null);

// moved is where a block is taken today, when it is another place than planned.
const moved = (m, block) => m.state.blocks[block]?.place;
const standing = (m, block) => (moved(m, block) ? say("nowIn", moved(m, block)) : blockTitle(m, block) || block);

function choice(m) {
  const blocks = m.left.blocks.filter((b) => b.entries.length || b.block === app.block);
  if (blocks.length < 2) {
    return (m.blocks.length > 1 || moved(m, app.block)) && h("p", { class: "facts" }, bdi(standing(m, app.block)));
  }
  const one = ({ block }) => button(standing(m, block), () => choose(block),
    { dir: "auto", "data-key": "block-" + block, "aria-pressed": block === app.block ? "true" : "false" });
  return h("div", { class: "blocks", role: "group", "aria-label": say("blocks") }, blocks.map(one));
}

function choose(block) {
  showBlock(block);
  paint();
}

// cutOff says that this phone has no signal, and that it stands there.
const cutOff = () => !app.contact.live && !find("contact").hidden;

// goOn says who is called elsewhere, for a phone that stands where nothing is left, and goes there. Without signal
// nobody is sent anywhere: what was next there is taken by now, and it may be somewhere else.
const goOn = (m) => (cutOff() ? [] : elsewhere(m)).map(({ block, entries: [e] }) => h("section", { class: "then" },
  h("h2", {}, bdi(title(m, e.id)), " ", paperNumber(m, e.id)),
  h("p", {}, names(m, e.in.length ? e.in : e.stay)),
  h("div", { class: "stack" }, button(say("goTo", blockTitle(m, block)), () => choose(block),
    { class: "main", "data-key": "go-" + block }))));

// Each on its own: Arabic numbers that only a sign parts would change places.
const facts = (e) => [e.at ? clock(e.at) : "", length(e.length), e.frames ? say("frames", e.frames) : ""]
  .filter(Boolean).map((f) => h("span", { class: "gap fact" }, bdi(f)));

// ended is shown when nothing can be taken: all is, or what is left waits for somebody, who is one touch
// away.
function ended(m) {
  const { waiting } = m.left;
  const sought = Object.entries(m.state.people).filter(([id]) => waiting.some((w) => w.missing.includes(id)));
  const press = (what, open, key) => button(what, open, { "data-key": key });
  const person = ([id, w]) => h("li", { class: "waits" }, isReader()
    ? h("p", { class: "lead" }, bdi(name(m, id)), " ", where(w))
    : press([h("span", { class: "what" }, bdi(name(m, id))), h("b", { class: "state" }, where(w))],
      () => personDialog(id), "person-" + id));
  const photograph = ({ id }) => h("li", {}, isReader()
    ? h("p", {}, bdi(title(m, id)))
    : press([h("span", { class: "what" }, bdi(title(m, id))), m.photographs.get(id)?.must
      ? h("b", { class: "state" }, say("must")) : null], () => groupingDialog(id), "row-" + id));
  return [
    choice(m),
    h("h1", { id: "title", class: "title" }, standstill(m)),
    folded("", asking(m), [swapped(m)]),
    line(m, "free", say("freeToGo"), free(m, blockOf(m))),
    goOn(m),
    sought.length ? h("ul", { class: "rows" }, sought.map(person)) : null,
    waiting.length ? h("ul", { class: "rows" }, waiting.map(photograph)) : null,
  ];
}

// what depends on other blocks and the time, of the first photos
const depends = (m, b) => b.entries.slice(0, 2).map((e) => [waits(m, e), dueElsewhere(m, b.block, e)]);

// all that is seen of what is taken now by everybody
const seen = (m, b) =>
  [b.block, b.entries[0], b.entries[1], m.left.count, m.left.waiting, m.state.people, m.state.joined, m.changed,
    m.swapped, b.entries.length ? 0 : cutOff(), m.blocks.map((x) => moved(m, x.id)), free(m, b),
    m.left.blocks.map((x) => [x.block, b.entries.length ? x.entries.length > 0 : x.entries[0]]),
    questions(m).map((q) => q.text), document.documentElement.lang];

// soon is a wait that nobody need be told of.
const soon = 2 * 60_000;

// waits says that nobody is called yet.
const waits = (m, e) => !e.current && e.at >= m.now + soon;

// away says who of a photo is not there, and until when everybody waits.
const away = (m, e) => {
  const until = waits(m, e) ? say("waitUntil", clock(e.at)) : "";
  if (!e.missing.length) return until ? h("p", { class: "notice", id: "waituntil" }, until) : null;
  const wait = until ? [say("facts"), until] : null;
  const theirs = e.missing.every((id) => clock(m.state.people[id]?.until) === clock(e.at)); // what is waited for
  const who = (theirs ? names : whereabouts)(m, e.missing);
  return h("p", { class: "alarm", id: "away" }, say("missingNow"), " ", who, wait);
};

const heading = (m, e, more) => [
  choice(m),
  h("p", { class: "where" },
    h("b", { class: e.current ? "taking" : "next" }, say(e.current ? "taking" : "next")), " ",
    h("span", { class: "gap" }, count(m), more), paperNumber(m, e.id), " ", isReader() ? facts(e)[0] : facts(e)),
  h("h1", { id: "title", class: "title" }, bdi(title(m, e.id))),
  e.missing.length ? away(m, e) : null,
  lacking(m),
  folded(e.id, asking(m), [
    otherDay(m) && h("p", { class: "notice" }, say("otherDay", otherDay(m))),
    e.missing.length ? null : away(m, e),
    elsewhereFirst(m, e), without(m, e.id), leaving(m),
  ].flat()),
];

// moves says what has changed of the order. It is about what comes after this photo, so it stands behind its names.
const moves = (m, e) => {
  const lines = m.changed.filter((l) => !l.of.length || l.of.some((id) => id !== e.id)).map((l) => l.said);
  return folded(e.id + "-moves", null, [swapped(m), lines.length
    ? h("p", { class: "notice changed", role: "status" }, lines.flatMap((l) => [bdi(sentence(l)), " "])) : null]);
};

// walking are those who are called, or made ready while it is not time yet, or, when there is nobody, those who are in
// the photo.
const walking = (m, e, label, kind, most) =>
  group(m, kind, waits(m, e) ? say("ready") : label, callable(m, e, e.in), most)
  || (e.in.length ? null : group(m, "in there", say("nobodyNew"), e.stay, 3));

// others are those who are in the frame already, or leave it, for now or for good.
const others = (m, b, [e] = b.entries, go = free(m, b)) => [
  e.in.length ? line(m, "stay", say("stay"), e.stay) : null,
  line(m, "out", say("walkOut"), stepOut(m, b).filter((id) => !go.includes(id))),
  line(m, "free", say("freeToGo"), go),
];

// From so many people on, chairs, steps and walls come into play, and the rule of safety stands below.
const large = 12;

// after is what comes next, with those who are to stand by: of the first that anybody has to be called for. It stands
// behind the names of what is taken now, and over none: whoever is in a hurry calls the names that are in sight.
function after(m, [e, then, ...rest]) {
  const waiting = m.left.waiting.some((w) => !w.left && here(m, w.id));
  if (!then) return h("p", { class: "then" }, say(waiting ? "onlyWaiting" : "lastOne"));
  const head = (x) => h("h2", {}, say("then"), " ", bdi(title(m, x.id)), " ", paperNumber(m, x.id));
  const who = (x, before) => callable(m, x, before.standby.length ? before.standby : x.in);
  const first = who(then, e).length ? null : rest.find((x) => callable(m, x, x.in).length);
  const ready = (ids) => line(m, "ready", waits(m, e) ? "" : say("ready"), ids);
  return h("section", { class: "then after" }, head(then), ready(who(then, e)), elsewhereFirst(m, then),
    first && [head(first), ready(callable(m, first, first.in))]);
}

export function nowView(m) {
  const b = blockOf(m), e = b.entries[0];
  put(find("main"), [...seen(m, b), m.state.groupings, depends(m, b), "lead"], () => {
    if (!e) return ended(m);
    return [
      heading(m, e, e.later ? say("facts") + say("putOff") : ""),
      walking(m, { ...e, in: e.in.filter((id) => !e.missing.includes(id)) }, say("walkIn"), "in", 14),
      others(m, b),
      line(m, "near", say("near"), e.near || []),
      moves(m, e),
      after(m, b.entries),
      e.in.length + e.stay.length >= large ? h("p", { class: "safety" }, say("safety")) : null,
    ];
  });
}

// onward is what is left for a caller who has gone past photos without a mark. They took no time of this phone's plan:
// what follows at once is now, and only a pause that is planned is waited for.
function onward(m, here) {
  const entries = here.entries.filter((x) => !app.passed.has(x.id));
  const before = here.entries[here.entries.indexOf(entries[0]) - 1];
  const pause = before && entries[0] && entries[0].at > before.at + before.length * 1000 + soon;
  const early = before && entries[0] && !pause ? Math.max(0, entries[0].at - m.now) : 0;
  return { ...here, entries: early ? entries.map((x) => (x.at ? { ...x, at: x.at - early } : x)) : entries };
}

export function readerNow(m) {
  const here = blockOf(m), b = onward(m, here);
  // What was taken may be missing here: this phone has no signal, or a photographer's.
  const e = b.entries[0], alone = cutOff() || (Boolean(app.away) && !find("contact").hidden);
  const passed = here.entries.filter((x) => app.passed.has(x.id)).at(-1);
  const back = passed && button(say("stepBack", title(m, passed.id)), () => { stepBack(passed.id); paint(); },
    { id: "stepback" });
  put(find("main"), [...seen(m, b), m.state.groupings, depends(m, b), alone, passed?.id, "reader"], () => {
    if (!e) return [ended(m), back];
    return [
      heading(m, e, ""),
      walking(m, { ...e, in: e.in.filter((id) => !e.missing.includes(id)) }, say("callNow"), "in call", 9),
      others(m, b),
      h("div", { class: "row" }, button(say("missing"), () => missingDialog(e.id), { id: "missing" }),
        alone && b.entries[1] && button(say("stepOn"), () => { stepOn(e.id); paint(); }, { id: "stepon" }), back),
      moves(m, e),
      after(m, b.entries),
    ];
  });
}

// The buttons of the lead stay where they are and what they are while the page changes around them: one
// that was put in anew between the thumb's touch and its lifting would not be pressed.
let acts = null;

function makeActs() {
  acts = { told: h("span"), undo: button("", () => acts.undo.act(), { id: "undo" }) };
  for (const id of ["missing", "later", "start", "taken"]) {
    acts[id] = button("", () => acts[id].act(), { id, class: id === "taken" ? "main" : undefined });
  }
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

// What was taken back a moment ago, in words. Below it stands what the next press would take back.
let takenBack = null;

// alike are the marks by which others said the same at that moment: whoever takes a photo back means that it isn't
// taken.
const alike = (x) => app.view.marks.filter((m) => x.kind === "taken" && m.kind === "taken" && m.grouping === x.grouping
  && !x.press.includes(m.id) && Math.abs(m.at - x.at) < 60_000).map((m) => m.id);

// A thumb that bounces must not take the next one too: nobody takes two within a second.
const rest = 800;

let resting = 0;

function pauseTaken(ms) {
  acts.taken.setAttribute("aria-disabled", "true");
  clearTimeout(resting);
  resting = setTimeout(() => acts?.taken.removeAttribute("aria-disabled"), ms);
}

function take(at) {
  const b = acts.taken;
  if (b.getAttribute("aria-disabled") === "true") return;
  pauseTaken(rest);
  mark({ kind: "taken", ...at });
}

// moveOn has a press count for nothing for a moment after somebody else's mark put another photo under the thumb.
let under = "";

function moveOn(m, e) {
  const now = `${app.block} ${e?.id}`, ours = m.state.last?.by === app.link;
  if (under && under !== now && under.startsWith(app.block + " ") && !ours) pauseTaken(1500);
  under = now;
}

export function nowActs(m) {
  if (!acts) makeActs();
  const e = blockOf(m).entries[0], last = m.state.mine[app.link], at = { grouping: e?.id, block: app.block };
  acts.row.hidden = acts.taken.hidden = !e;
  moveOn(m, e);
  const fresh = takenBack && m.now - takenBack.at < 60_000 && !(last?.at > takenBack.at);
  const undone = fresh ? say("undone", takenBack.what) : "";
  const line = last ? told(m, last) + say("facts") + clock(last.at) : "";
  if (acts.told.textContent !== undone + line) {
    acts.told.replaceChildren(undone ? h("b", {}, undone) : "", line);
  }
  acts.undo.hidden = !last;
  acts.last.hidden = !last && !undone;
  if (last) {
    const undo = () => {
      takenBack = { what: told(m, last), at: now() };
      mark(...[...last.press, ...alike(last)].map((undoes) => ({ kind: "undone", undoes })));
    };
    set(acts.undo, say("undo"), undo, say("undoThis", told(m, last)));
  }
  if (!e) return;
  set(acts.missing, say("missing"), () => missingDialog(e.id));
  set(acts.later, say("later"), () => mark({ kind: "skipped", ...at }));
  if (e.current) set(acts.start, say("notNow"), () => mark({ kind: "put_back", ...at }));
  else set(acts.start, say("start"), () => mark({ kind: "started", ...at }));
  set(acts.taken, say("taken"), () => take(at), say("told.taken", title(m, e.id)));
}
