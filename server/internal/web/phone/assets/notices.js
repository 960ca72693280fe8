// What stands above the names: what is asked, who is not here, and what is good to know.

import { app, marks, paint } from "./state.js";
import { mark } from "./contact.js";
import { say, clock, number } from "./words.js";
import { h, button, find, stale } from "./dom.js";
import { bdi, blockOf, blockTitle, name, names, title, whereabouts } from "./parts.js";
import { due, dueElsewhere, gone, here, isAway, meet, members, takeIn } from "./outlook.js";
import { groupingDialog, newerAsk, withoutDialog } from "./dialogs.js";
import { personDialog } from "./people.js";

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

export const questions = (m) => [
  ...(marks() && app.whole.newer ? [{ id: "newer", key: "newer", text: say("newer"), act: newerAsk }] : []), ...asks(m),
];

// Questions are asked one at a time; whoever has no answer yet goes on to the next.
let turn = 0;

export function asking(m) {
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

export function folded(of, asked, lines) {
  const list = lines.filter(Boolean), [first, ...rest] = asked ? [null, ...list] : list;
  if (!rest.length && !(first?.textContent.length > 60)) return asked ? h("div", { class: "asked" }, asked) : first;
  const open = (e) => { unfolded = e.target.open ? of : ""; };
  const more = h("details", { class: "folded", open: unfolded === of, on: { toggle: open } },
    h("summary", { class: "notice" }, first && h("span", { class: "line1" }, first.textContent), " ",
      h("span", { class: "number" }, rest.length ? say("andMore", number(rest.length)) : "…")), rest);
  return asked ? h("div", { class: "asked" }, asked, more) : more;
}

// listed says of some people what is known of them.
const listed = (m, id, label, list) => list.length > 0
  && h("p", { class: "notice", id }, label, say("colon"), " ", whereabouts(m, list));

const waitingHere = (m) => m.left.waiting.filter((w) => here(m, w.id));

// lacking says who is not here and waited for: they are to be looked for now, so their names are never folded away.
// Whoever leads is asked about those who have left.
export function lacking(m) {
  const shown = blockOf(m).entries[0]?.missing || [], all = waitingHere(m).flatMap((w) => w.missing);
  const asked = (id) => marks() && m.state.people[id]?.presence === "left" && !app.waitsFor.has(id);
  return listed(m, "lacking", say("notHere"),
    [...new Set(all)].filter((id) => isAway(m, id) && !shown.includes(id) && !asked(id)));
}

// leaving says who is here and leaves soon.
export function leaving(m) {
  const open = [...blockOf(m).entries, ...waitingHere(m)], soon = (id) => m.state.people[id].presence === "leaving";
  return listed(m, "leaving", say("leavesSoon"), Object.keys(m.state.people).filter((id) => soon(id) && !isAway(m, id)
    && open.some((x) => members(m, x.id).includes(id))));
}

// elsewhereFirst says who is in the frame of another photographer, or due there before.
export const elsewhereFirst = (m, e) => dueElsewhere(m, app.block, e).map(({ block, who, until }) =>
  h("p", { class: "alarm" }, bdi(until ? say("busyUntil", blockTitle(m, block), clock(until)) : blockTitle(m, block)),
    say("colon"), " ", names(m, who)));

// callable are those who may be called for a photo now: whoever is due elsewhere first is not.
export const callable = (m, e, ids) => {
  const not = e.current ? [] : dueElsewhere(m, app.block, e).flatMap((x) => x.who);
  return ids.filter((id) => !not.includes(id));
};

// without says whom a photo is taken without.
export const without = (m, id, list = m.state.groupings[id]?.without || []) =>
  (list.length ? h("p", { class: "notice", id: "without" }, say("without"), " ", names(m, list)) : null);
