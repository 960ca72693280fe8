// The view of what is taken now, for the lead and for the reader, and the lead's buttons.

import { app, isReader, marks, now, paint, showBlock, stepBack, stepOn } from "./state.js";
import { mark } from "./contact.js";
import { say, sentence, clock, length, number } from "./words.js";
import { h, button, put, find, stale } from "./dom.js";
import {
  bdi, blockOf, blockTitle, called, calledShort, count, elsewhere, name, names, otherDay, title, paperNumber,
  standstill, swapped, told, where, whereabouts,
} from "./parts.js";
import { due, dueElsewhere, free, gone, here, isAway, meet, members, stepOut, takeIn } from "./outlook.js";
import { groupingDialog, missingDialog, newerAsk, withoutDialog } from "./dialogs.js";
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

function group(m, kind, label, ids, most) {
  if (!ids.length) return null;
  const { whole, left } = circlesIn(ids), rows = whole.length + left.length;
  const size = rows > most || whole.length ? "many" : rows > (isReader() ? 6 : 4) ? "some" : "few";
  return h("section", { class: "group " + kind },
    h("h2", {}, label, " ", h("span", { class: "howmany" }, number(ids.length))),
    h("ul", { class: size }, whole.map((c) => h("li", { class: "circle" }, h("span", { class: "name" }, bdi(c.title)),
      h("span", { class: "more" }, c.people.flatMap((id, i) => [i ? say("comma") : "", ...calledShort(m, id)])))),
    left.map((id) => called(m, id))));
}

const line = (m, kind, label, ids) =>
  (ids.length ? h("p", { class: "inline " + kind }, h("b", {}, label), " ", names(m, ids)) : null);

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

// goOn says who is called elsewhere, for a phone that stands where nothing is left, and goes there.
const goOn = (m) => elsewhere(m).map(({ block, entries: [e] }) => h("section", { class: "then" },
  h("h2", {}, bdi(title(m, e.id)), " ", paperNumber(m, e.id)),
  h("p", {}, names(m, e.in.length ? e.in : e.stay)),
  h("div", { class: "stack" }, button(say("goTo", blockTitle(m, block)), () => choose(block),
    { class: "main", "data-key": "go-" + block }))));

// asks is about what waits for somebody who does not come back: whoever leads says whether to take it without them,
// once for all photos of a person. What can't be complete any more, as one comes after another leaves, is asked about
// as soon as that is known, and first. Who is expected and not said to be here is asked about when the time comes.
function asks(m) {
  if (!marks()) return [];
  const must = (w) => Boolean(m.photographs.get(w.id)?.must), by = (test) => (a, b) => test(b) - test(a);
  const lost = (w) => gone(m, w).filter((id) => !app.waitsFor.has(id));
  const open = m.left.waiting.filter((w) => here(m, w.id) && lost(w).length).sort(by(must));
  const question = (key, text, act, w) => ({ id: "ask", key, text, act, must: Boolean(w) && must(w) });
  const list = open.filter((w) => !meet(m, w))
    .map((w) => question(w.id, say("askApart", title(m, w.id)), () => groupingDialog(w.id), w));
  let rest = open.filter((w) => meet(m, w));
  while (rest.length) {
    const of = (id) => rest.filter((w) => lost(w).includes(id));
    const [who] = rest.flatMap(lost).sort(by((id) => of(id).length)), those = of(who), [w] = those;
    list.push(those.length > 1
      ? question(w.id, say("photosWithout", those.length, name(m, who)),
        () => withoutDialog(who, those.map((x) => x.id)), w)
      : question(w.id, say("askWithout", title(m, w.id), lost(w).map((id) => name(m, id)).join(say("comma"))),
        () => groupingDialog(w.id), w));
    rest = rest.filter((x) => !those.includes(x));
  }
  for (const [id, { kind }] of Object.entries(m.state.about)) {
    const again = kind === "arrived" ? takeIn(m, id) : [];
    const text = again.length ? say("askIn", name(m, id), title(m, again[0].grouping)) : "";
    if (text) list.unshift(question(id, text, () => mark(...again)));
  }
  return [...list, ...due(m).map(({ id, at, leaves }) =>
    question(id, say(leaves ? "askLeft" : "askDue", name(m, id), clock(at)), () => personDialog(id)))];
}

const questions = (m) => [
  ...(marks() && app.whole.newer ? [{ id: "newer", key: "newer", text: say("newer"), act: newerAsk }] : []), ...asks(m),
];

// Questions are asked one at a time; whoever has no answer yet goes on to the next.
let turn = 0;

function asking(m) {
  const list = questions(m), at = turn % (list.length || 1), q = list[at];
  if (!q) return null;
  const goOn = () => { turn = at + 1; stale(find("main")); paint(); };
  const needed = q.must ? h("b", { class: "state" }, say("must")) : null;
  return [button([h("span", { class: "what" }, q.text), " ", needed], q.act,
    { id: q.id, class: "ask", "data-key": "ask-" + q.key }),
  list.length > 1 && button(say("numberOf", at + 1, number(list.length)), goOn,
    { id: "nextask", class: "notice number", "data-key": "nextask" })];
}

// folded are lines that are good to know: they take the room of one line until somebody opens them, which is for the
// photo that is shown. A question stands before them, to be answered by one press, and they take no room but beside it.
let unfolded = "";

function folded(of, asked, lines) {
  const list = lines.filter(Boolean), [first, ...rest] = asked ? [null, ...list] : list;
  if (!rest.length && !(first?.textContent.length > 60)) return asked ? h("div", { class: "asked" }, asked) : first;
  const open = (e) => { unfolded = e.target.open ? of : ""; };
  const more = h("details", { class: "folded", open: unfolded === of, on: { toggle: open } },
    h("summary", { class: "notice" }, first && h("span", { class: "line1" }, first.textContent), " ",
      h("span", { class: "number" }, rest.length ? say("andMore", number(rest.length)) : "…")), rest);
  return asked ? h("div", { class: "asked" }, asked, more) : more;
}

// lacking says who is not here and waited for, and who is here and leaves soon, with what is known of them.
function lacking(m) {
  const shown = blockOf(m).entries[0]?.missing || [];
  const mine = m.left.waiting.filter((w) => here(m, w.id)), open = [...blockOf(m).entries, ...mine];
  const lost = new Set(mine.flatMap((w) => w.missing).filter((id) => isAway(m, id) && !shown.includes(id)));
  const leaving = Object.keys(m.state.people).filter((id) => m.state.people[id].presence === "leaving" && !isAway(m, id)
    && open.some((x) => members(m, x.id).includes(id)));
  const line = (id, label, list) => list.length > 0
    && h("p", { class: "notice", id }, label, say("colon"), " ", whereabouts(m, list));
  return [line("lacking", say("notHere"), [...lost]), line("leaving", say("leavesSoon"), leaving)];
}

// elsewhereFirst says who is in the frame of another photographer, or due there before.
const elsewhereFirst = (m, e) => dueElsewhere(m, app.block, e).map(({ block, who, until }) => h("p", { class: "alarm" },
  bdi(until ? say("busyUntil", blockTitle(m, block), clock(until)) : blockTitle(m, block)), say("colon"), " ",
  names(m, who)));

// callable are those who may be called for a photo now: whoever is due elsewhere first is not.
const callable = (m, e, ids) => {
  const not = e.current ? [] : dueElsewhere(m, app.block, e).flatMap((x) => x.who);
  return ids.filter((id) => !not.includes(id));
};

// without says whom a photo is taken without.
const without = (m, id, list = m.state.groupings[id]?.without || []) =>
  (list.length ? h("p", { class: "notice", id: "without" }, say("without"), " ", names(m, list)) : null);

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
    m.swapped, m.blocks.map((x) => moved(m, x.id)), free(m, b),
    m.left.blocks.map((x) => [x.block, b.entries.length ? x.entries.length > 0 : x.entries[0]]),
    questions(m).map((q) => q.text), document.documentElement.lang];

// soon is a wait that nobody need be told of.
const soon = 2 * 60_000;

// waits says that nobody is called yet.
const waits = (m, e) => !e.current && e.at >= m.now + soon;

// away says who of a photo is not there, and until when everybody waits.
const away = (m, e) => {
  const until = waits(m, e) ? say("waitUntil", clock(e.at)) : "";
  if (!e.missing.length) return until ? h("p", { class: "notice" }, until) : null;
  const wait = until ? [say("facts"), until] : null;
  const theirs = e.missing.every((id) => clock(m.state.people[id]?.until) === clock(e.at)); // what is waited for
  return h("p", { class: "alarm" }, say("missingNow"), " ", (theirs ? names : whereabouts)(m, e.missing), wait);
};

const heading = (m, e, more, ...lines) => [
  choice(m),
  h("p", { class: "where" },
    h("b", { class: e.current ? "taking" : "next" }, say(e.current ? "taking" : "next")), " ",
    h("span", { class: "gap" }, count(m), more), paperNumber(m, e.id), " ", isReader() ? facts(e)[0] : facts(e)),
  h("h1", { id: "title", class: "title" }, bdi(title(m, e.id))),
  folded(e.id, asking(m), [
    swapped(m),
    otherDay(m) && h("p", { class: "notice" }, say("otherDay", otherDay(m))),
    ...lines.flat(),
    m.changed.length
      ? h("p", { class: "notice changed", role: "status" }, m.changed.flatMap((l) => [bdi(sentence(l)), " "])) : null,
  ]),
];

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

// after is what comes next, with those who are to stand by: of the first that anybody has to be called for.
function after(m, [e, then, ...rest], ready) {
  const waiting = m.left.waiting.some((w) => !w.left && here(m, w.id));
  if (!then) return h("p", { class: "then" }, say(waiting ? "onlyWaiting" : "lastOne"));
  const head = (x) => h("h2", {}, say("then"), " ", bdi(title(m, x.id)), " ", paperNumber(m, x.id));
  const who = (x, before) => callable(m, x, before.standby.length ? before.standby : x.in);
  const first = who(then, e).length ? null : rest.find((x) => callable(m, x, x.in).length);
  return h("section", { class: "then after" }, head(then), ready(who(then, e)), elsewhereFirst(m, then),
    first && [head(first), ready(callable(m, first, first.in))]);
}

// fit has whom to have ready make room for those who are called: of six of them none is covered, and the box stands
// so much lower, as far as its first line, until somebody scrolls.
export function fit() {
  const box = document.querySelector(".after");
  const name = [...document.querySelectorAll(".group.in:not(.there) .name")].slice(0, 6).at(-1);
  if (!box || !name || getComputedStyle(box).position !== "sticky") return;
  const { bottom } = name.getBoundingClientRect(), acts = find("acts"), tall = acts.hidden ? 0 : acts.offsetHeight;
  const room = innerHeight - tall - bottom - scrollY, peek = 2.2 * parseFloat(getComputedStyle(box).fontSize);
  const under = Math.max(0, Math.min(box.offsetHeight - room, box.offsetHeight - peek));
  box.style.setProperty("--under", Math.round(under) + "px");
}

export function nowView(m) {
  const b = blockOf(m), e = b.entries[0];
  put(find("main"), [...seen(m, b), m.state.groupings, depends(m, b), "lead"], () => {
    if (!e) return ended(m);
    return [
      heading(m, e, e.later ? say("facts") + say("putOff") : "",
        away(m, e), elsewhereFirst(m, e), without(m, e.id), lacking(m)),
      walking(m, e, say("walkIn"), "in", 14),
      others(m, b),
      line(m, "near", say("near"), e.near || []),
      after(m, b.entries, (ids) => line(m, "ready", say("ready"), ids)),
      e.in.length + e.stay.length >= large ? h("p", { class: "safety" }, say("safety")) : null,
    ];
  });
}

export function readerNow(m) {
  const here = blockOf(m), b = { ...here, entries: here.entries.filter((x) => !app.passed.has(x.id)) };
  if (b.entries.length < here.entries.length && b.entries[0]?.at > m.now) { // nobody waits for what is over
    b.entries[0] = { ...b.entries[0], at: m.now };
  }
  // What was taken may be missing here: this phone has no signal, or a photographer's.
  const e = b.entries[0], alone = (!app.contact.live || app.away) && !find("contact").hidden;
  const passed = here.entries.filter((x) => app.passed.has(x.id)).at(-1);
  const back = passed && button(say("stepBack", title(m, passed.id)), () => { stepBack(passed.id); paint(); },
    { id: "stepback" });
  put(find("main"), [...seen(m, b), m.state.groupings, depends(m, b), alone, passed?.id, "reader"], () => {
    if (!e) return [ended(m), back];
    return [
      heading(m, e, "", lacking(m), away(m, e), elsewhereFirst(m, e), without(m, e.id)),
      back || (alone && b.entries[1]) ? h("div", { class: "row" }, alone && b.entries[1]
        ? button(say("stepOn"), () => { stepOn(e.id); paint(); }, { id: "stepon" }) : null, back) : null,
      walking(m, { ...e, in: e.in.filter((id) => !e.missing.includes(id)) }, say("callNow"), "in call", 24),
      others(m, b),
      after(m, b.entries, (ids) => line(m, "ready", say("ready"), ids)),
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
