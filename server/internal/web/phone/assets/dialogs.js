// What is asked when a button alone does not say enough.

import { app, marks, model, now, paint, waitFor } from "./state.js";
import { beginAnew, mark, newerList } from "./contact.js";
import { say, sentence, clock, minuteOfDay, list, number } from "./words.js";
import { h, button, find, plain } from "./dom.js";
import { bdi, blockTitle, called, forecast, joined, name, names, placeOf, title, whereabouts } from "./parts.js";
import { members, away, isAway, meet } from "./outlook.js";
import { newID } from "./id.js";

export const close = () => find("dialog").close();

// ask opens the dialog with a heading and what is in it. What can be pressed stays in sight at its foot.
export function ask(heading, ...parts) {
  const d = find("dialog");
  d.replaceChildren(h("h2", { id: "dialogtitle" }, bdi(heading)), ...parts.flat(9).filter(Boolean));
  const foot = d.querySelector(".foot") || d.appendChild(h("div", { class: "foot" }));
  foot.append(button(say("close"), close, { class: "close" }));
  d.onclick = (e) => { if (e.target === d) close(); }; // beside it
  if (!d.open) d.showModal();
  d.scrollTop = 0;
}

export const then = (...marks) => () => { close(); mark(...marks); };

// check is a large box to tick, with a name.
export const check = (id, text, more) => h("label", { class: "check" },
  h("input", { type: "checkbox", value: id }),
  h("span", {}, bdi(text), more ? h("small", {}, bdi(more)) : null));

export const ticked = (form) => [...form.querySelectorAll("input[type=checkbox][value]:checked")].map((i) => i.value);

export const guest = (m, id) => m.people.find((p) => p.id === id);

const blockWith = (m, id) => m.left.blocks.find((b) => b.entries.some((e) => e.id === id))?.block;

// missingDialog asks who of a photograph cannot be found, and what to do about it.
export function missingDialog(id) {
  const m = model();
  const ids = members(m, id), gone = away(m, id);
  const form = h("form", { class: ids.length > 8 ? "checks many" : "checks" },
    ids.map((p) => check(p, name(m, p), guest(m, p)?.relation)));
  for (const i of form.querySelectorAll("input")) i.checked = gone.includes(i.value);
  const block = blockWith(m, id) ?? app.block, g = m.state.groupings[id];
  const chosen = (make) => () => {
    const who = ticked(form);
    if (!who.length) return hint(form);
    close();
    const lost = who.filter((p) => m.state.people[p]?.presence !== "missing");
    mark(...lost.map((person) => ({ kind: "absent", person })), ...make(who));
  };
  const wait = chosen(() => (marks() && g?.status === "current" ? [{ kind: "put_back", grouping: id, block }] : []));
  const less = (who) => [{ kind: "without", grouping: id, people: [...new Set([...(g?.without || []), ...who])] }];
  const without = chosen(less);
  // Everybody else stands there now, and comes once more when who is missing is here.
  const again = say("againTitle", title(m, id)).replace(/[\u2066-\u2069]/g, "");
  const twice = chosen((who) => [...less(who),
    { kind: "added", grouped: { id: "day-" + newID(Date.now()), title: again, members: ids } }]);
  const some = ids.length > 1 && marks();
  ask(say("whoMissing"), h("p", { class: "facts" }, bdi(title(m, id))), form, h("div", { class: "foot" },
    button(say(marks() ? "itWaits" : "notFound"), wait, { class: "main", id: "wait" }),
    some && button(say("takeWithout"), without, { id: "without" }),
    some && g?.status === "current" && button(say("takeTwice"), twice, { id: "twice" })));
}

function hint(form) {
  form.querySelector(".alarm")?.remove();
  form.append(h("p", { class: "alarm", role: "alert" }, say("chooseSomebody")));
  form.querySelector("input")?.focus();
}

// groupingDialog shows one photograph with all its people and what can be done with it.
export function groupingDialog(id) {
  const m = model();
  const ids = members(m, id), without = m.state.groupings[id]?.without || [];
  const gone = m.left.waiting.find((w) => w.id === id)?.missing || away(m, id);
  const lost = gone.filter((p) => isAway(m, p)), leaving = gone.filter((p) => !isAway(m, p));
  const photo = m.photographs.get(id);
  const notes = [photo?.note, ...ids.map((p) => guest(m, p)?.note)].filter(Boolean);
  ask(title(m, id),
    photo?.must ? h("p", { class: "facts" }, say("must")) : null,
    lost.length ? h("p", { class: "alarm" }, say("notHere"), say("colon"), " ", whereabouts(m, lost)) : null,
    leaving.length ? h("p", { class: "alarm" }, say("leavesSoon"), say("colon"), " ", whereabouts(m, leaving)) : null,
    without.length ? h("p", { class: "notice" }, say("without"), " ", names(m, without)) : null,
    h("ul", { class: "few" }, ids.map((p) => called(m, p))),
    notes.length
      ? h("details", {}, h("summary", {}, say("private")), notes.map((n) => h("p", { dir: "auto" }, n))) : null,
    !marks() ? null : h("div", { class: "foot" }, groupingActs(m, id, ids, gone, without)));
}

// allTicked are photos to be answered for, each with a box: mostly it is one answer for all.
function allTicked(m, ids) {
  const form = h("form", { class: "checks" }, ids.map((id) =>
    check(id, title(m, id), m.photographs.get(id)?.must ? say("must") : "")));
  for (const i of form.querySelectorAll("input")) i.checked = true;
  return form;
}

// withoutDialog asks once what to do with all photos that somebody is missing in who does not come back.
export function withoutDialog(who, ids) {
  const m = model(), left = (id) => members(m, id).filter((p) => p !== who);
  const form = allTicked(m, ids);
  const chosen = (make) => () => { close(); mark(...ticked(form).flatMap(make)); };
  const without = chosen((grouping) => (!left(grouping).length ? []
    : [{ kind: "without", grouping, people: [...(m.state.groupings[grouping]?.without || []), who] }]));
  const out = chosen((grouping) => [{ kind: "left_out", grouping, block: app.block }]);
  ask(say("photosWithout", ids.length, name(m, who)), form,
    h("div", { class: "foot" },
      button(say("takeAllWithout", name(m, who)), without, { class: "main", id: "allwithout" }),
      button(say("leaveThese"), out, { id: "allout" }),
      button(say("itWaits"), () => { waitFor(who); close(); paint(); }, { id: "allwait" })));
}

function groupingActs(m, id, ids, gone, without) {
  const g = m.state.groupings[id], status = g?.status || "open", done = status === "done";
  const at = { grouping: id, block: g?.block || blockWith(m, id) || app.block };
  const take = (people) => then({ kind: "without", grouping: id, people });
  const them = list(gone.map((p) => name(m, p))), must = m.photographs.get(id)?.must;
  const wish = { kind: "changed", grouping: id, block: g?.only || "", priority: g?.rank || "" };
  const others = m.blocks.filter((b) => b.id !== at.block && !m.state.blocks[b.id]?.closed);
  return [
    !done && button(say("taken"), then({ kind: "taken", ...at }), { class: "main" }),
    !done && status !== "current" && button(say("start"), then({ kind: "started", ...at })),
    !done && !meet(m, { missing: gone })
      && gone.map((p) => button(say("takeWithoutThem", name(m, p)), take([...without, p]))),
    !done && gone.length > 0 && gone.length < ids.length && meet(m, { missing: gone })
      && button(say("takeWithoutThem", them), take([...without, ...gone])),
    !done && without.length > 0 && button(say("waitAgain"), take([])),
    !done && button(say("missing"), () => missingDialog(id)),
    ["open", "current"].includes(status) && button(say("later"), then({ kind: "skipped", ...at })),
    ["open", "later"].includes(status) && button(say("leaveOut"), then({ kind: "left_out", ...at })),
    status !== "open" && button(say("putBack"), then({ kind: "put_back", ...at })),
    ["open", "later"].includes(status) && [
      others.map((b) => button(say("takeAt", blockTitle(m, b.id)), then({ ...wish, block: b.id }))),
      button(say(must ? "noMust" : "newMust"), then({ ...wish, priority: must ? "should" : "must" })),
    ],
  ];
}

// blockToday is a block with the times that it has today, and what makes a mark that changes something of it.
function blockToday(m, id) {
  const block = m.blocks.find((b) => b.id === id) || {}, said = m.state.blocks[id] || {};
  const opens = said.opens || block.opens || 0, closes = said.closes || block.closes || 0;
  const at = (more) => ({
    kind: "block", block: id, opens: said.opens || 0, closes: said.closes || 0, closed: said.closed || false,
    place: said.place || "", ...more,
  });
  const longer = (minutes) => !closes ? null : button(say(minutes < 0 ? "shorter" : "longer", Math.abs(minutes)),
    then(at({ closes: Math.max(closes + minutes * 60_000, opens + 60_000) })));
  return { id, block, said, opens, closes, at, longer };
}

// lateDialog says how late a block is, and does what helps: what is left out is asked for once more.
export function lateDialog(id) {
  const m = model(), b = m.left.blocks.find((x) => x.block === id), f = forecast(b), drop = b.drop || [];
  const blocks = m.left.blocks.filter((x) => x.entries.length).map((x) => blockToday(m, x.block))
    .filter((x) => x.opens && x.closes);
  // Nobody who is here waits because of it: what should have begun begins now, what has begun goes on longer.
  const begun = (x) => Boolean(m.state.frames[x.id]);
  const past = blocks.filter((x) => !begun(x) && x.opens <= now()).map((x) => Math.floor((now() - x.opens) / 60_000));
  const over = Math.max(...m.left.blocks.map((x) => x.over || 0)); // all are moved, so far as the latest needs
  const wait = Math.min(Math.ceil(over / (5 * 60_000)) * 5, ...past);
  const later = blocks.map((x) =>
    x.at({ opens: begun(x) ? x.said.opens || 0 : x.opens + wait * 60_000, closes: x.closes + wait * 60_000 }));
  const onlyMust = b.entries.every((e) => m.photographs.get(e.id)?.must);
  ask(f.finish + say("facts") + f.over,
    b.closes ? h("p", { class: "facts" }, say("closes", clock(b.closes))) : null,
    drop.length ? h("p", { class: "facts" }, say("drop"), " ", joined(drop.map((g) => title(m, g))))
      : h("p", { class: "facts" }, b.closes <= now() ? say("endPast") : onlyMust ? say("nothingToLeave") : ""),
    h("div", { class: "stack" },
      blockToday(m, id).longer(15),
      later.length && wait > 0 ? button(say("allLater", wait), then(...later), { id: "alllater" }) : null,
      drop.length ? button(say("leaveThese"), () => leaveDialog(b, drop), { id: "leavethese" }) : null));
}

// leaveDialog asks before photos are left out, and says what is left to take.
function leaveDialog(b, drop) {
  const m = model(), left = b.entries.filter((e) => !drop.includes(e.id));
  const saved = b.entries.filter((e) => drop.includes(e.id)).reduce((sum, e) => sum + e.length, 0);
  const form = allTicked(m, drop);
  sure(say("leaveOutAsk", drop.length), say("leaveThese"),
    () => mark(...ticked(form).map((grouping) => ({ kind: "left_out", grouping, block: b.block }))), [form,
      h("p", {}, say("leftThen", number(left.length)), say("facts"), say("finish", clock(b.finish - saved * 1000)))]);
}

// blockDialog moves a block, makes it longer or shorter, closes it or opens it again.
export function blockDialog(id) {
  const m = model(), { block, said, opens, closes, at, longer } = blockToday(m, id);
  // timed asks for another time than one that there is, and makes a mark of by how much that is off.
  const timed = (key, label, from, make) => {
    const field = h("input", { type: "time", id: key, required: true, value: hoursOf(from) });
    return h("form", { class: "pair", on: { submit: (e) => {
      e.preventDefault();
      const [hour, minute] = field.value.split(":").map(Number);
      close();
      mark(at(make((hour * 60 + minute - minuteOfDay(from)) * 60_000)));
    } } }, h("label", { for: key }, label), field, h("button", { type: "submit", id: "set" + key }, say("set")));
  };
  const move = (by) => ({ opens: opens + by, closes: closes ? closes + by : 0 });
  const end = (by) => ({ closes: Math.max(closes + by, opens + 60_000) });
  const place = h("input",
    { type: "text", id: "place", maxlength: 200, dir: "auto", value: placeOf(m, id), autocomplete: "off" });
  const carry = h("form", { class: "pair", on: { submit: (e) => {
    e.preventDefault();
    const to = place.value.trim();
    close();
    mark(at({ place: to === (block.place || "") ? "" : to }));
  } } }, h("label", { for: "place" }, say("place")), place,
    h("button", { type: "submit", id: "setplace" }, say("set")));
  ask(blockTitle(m, id) || say("changeBlock"),
    h("p", { class: "facts" }, [opens && clock(opens), closes && clock(closes)].filter(Boolean).join(" – ")),
    closes ? h("div", { class: "row" }, longer(5), longer(15), longer(-5)) : null,
    carry,
    opens ? timed("begins", say("moveBlock"), opens, move) : null,
    closes ? timed("ends", say("endsAt"), closes, end) : null,
    h("div", { class: "foot" }, said.closed
      ? button(say("openAgain"), then(at({ closed: false })), { class: "main" })
      : button(say("closeBlock"), () => closeDialog(id, at({ closed: true })), { id: "endslot" })));
}

// hoursOf is a time as a field for times has it.
function hoursOf(at) {
  const minutes = minuteOfDay(at), two = (n) => String(n).padStart(2, "0");
  return two(Math.floor(minutes / 60)) + ":" + two(minutes % 60);
}

// closeDialog asks before a block ends, with what is not taken any more.
function closeDialog(id, closed) {
  const m = model(), lost = m.left.blocks.find((b) => b.block === id)?.entries || [];
  sure(say("closeBlock"), say("closeYes", blockTitle(m, id)), () => mark(closed),
    h("ul", { class: "plain" }, lost.map((e) => h("li", {}, bdi(title(m, e.id))))));
}

// addDialog adds a photograph on the spot.
export function addDialog() {
  const m = model();
  const field = h("input",
    { id: "newtitle", type: "text", maxlength: 120, dir: "auto", required: true, autocomplete: "off" });
  const search = h("input", { type: "search", id: "search", autocomplete: "off", dir: "auto" });
  const must = h("input", { type: "checkbox" });
  const there = m.people.filter((p) => !p.absent);
  const circles = app.whole.circles || [];
  const boxes = [
    ...circles.map((c) => check("circle:" + c.id, c.title, list(c.people.map((p) => name(m, p))))),
    ...there.map((p) => check(p.id, p.name,
      [p.say && say("say", p.say), p.relation || p.side].filter(Boolean).join(say("comma")))),
  ];
  const choices = h("div", { class: "checks scroll" }, boxes);
  const chosen = h("p", { class: "facts", "aria-live": "polite" });
  const who = () => {
    const ids = ticked(choices).flatMap((id) =>
      (id.startsWith("circle:") ? circles.find((c) => c.id === id.slice(7)).people : [id]));
    return m.people.filter((p) => ids.includes(p.id)).map((p) => p.id);
  };
  choices.addEventListener("change", () => { chosen.replaceChildren(...names(m, who())); });
  search.addEventListener("input", () => {
    for (const b of boxes) b.hidden = !plain(b.textContent).includes(plain(search.value));
  });
  const form = h("form", { on: { submit: (e) => {
    e.preventDefault();
    if (!who().length) return hint(form);
    close();
    const grouped = { id: "day-" + newID(Date.now()), title: field.value.trim(), members: who() };
    mark({ kind: "added", grouped: must.checked ? { ...grouped, must: true } : grouped });
  } } },
    h("label", { for: "newtitle" }, say("newTitle")), field,
    h("label", { for: "search" }, say("newWho")), search, choices, chosen,
    h("label", { class: "check" }, must, h("span", {}, say("newMust"))),
    h("div", { class: "foot" }, h("button", { type: "submit", class: "main", id: "add" }, say("add"))));
  ask(say("add"), form);
}

// noteDialog keeps a note for the planner and the lead.
export function noteDialog() {
  const field = h("textarea", { id: "notetext", rows: 4, maxlength: 2000, dir: "auto", required: true });
  const form = h("form", { on: { submit: (e) => {
    e.preventDefault();
    if (!field.value.trim()) return;
    close();
    mark({ kind: "note", note: field.value.trim() });
  } } },
    h("label", { for: "notetext" }, say("noteFor")), field,
    h("div", { class: "foot" }, h("button", { type: "submit", class: "main" }, say("keep"))));
  ask(say("note"), form);
}

// sure asks before something that much depends on.
export function sure(question, yes, act, more = []) {
  ask(question, more, h("div", { class: "foot" }, button(yes, () => { close(); act(); }, { class: "main" })));
}

// newerAsk asks whether to go on with a list that was changed since, and says first what that takes away and adds.
export async function newerAsk() {
  let said = null;
  try {
    said = await newerList();
  } catch { /* no signal */ }
  if (!said) return ask(say("newer"), h("p", { class: "alarm" }, say("neverSeen")));
  sure(say("beginAnewAsk"), say("beginAnew"), () => beginAnew({}),
    h("ul", { class: "plain", id: "swaps" }, said.map((x) => h("li", {}, bdi(sentence(x))))));
}

// oldAsk asks whether to go back to the list before the last change.
export const oldAsk = (m) => sure(say("oldListAsk"), say("oldList"), () => beginAnew({ old: m.plan.swapped.run }));
