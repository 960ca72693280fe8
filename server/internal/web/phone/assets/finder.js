// The view of whoever fetches people: whom to find, for which photo and when. A tick is this phone's own.

import { app, find as keepFound, paint, standOn } from "./state.js";
import { say, clock, number } from "./words.js";
import { h, button, put, find } from "./dom.js";
import { bdi, blockTitle, calledParts, paperNumber, standstill, swapped, title, where } from "./parts.js";
import { isNeeded, members } from "./outlook.js";
import { personDialog } from "./people.js";

// taken is when somebody was last in a photo: who was found before that has to be found again.
const taken = (m, id) => Math.max(0, ...m.left.done.filter((g) => members(m, g).includes(id))
  .map((g) => m.state.groupings[g].finished));

const isFound = (m, id) => (app.found[id] || 0) > taken(m, id);

// sought lists what is coming, by time, each with those who are first needed for it and are not in the frame already.
function sought(m) {
  const there = new Set(), out = [];
  const all = m.left.blocks.flatMap(({ block, entries }) => entries.map((e, i) => ({ ...e, block, first: !i })));
  for (const e of all) if (e.first) for (const id of e.stay) there.add(id);
  for (const e of all.sort((a, b) => b.current - a.current || (a.at || 0) - (b.at || 0))) {
    const who = [...e.stay, ...e.in].filter((id) => !there.has(id));
    for (const id of who) there.add(id);
    out.push({ ...e, who: who.filter((id) => onSide(m, id)) });
  }
  return out.filter((e) => e.who.length);
}

const person = (m, id) => m.people.find((p) => p.id === id) || { id, name: id };
const onSide = (m, id) => !app.side || [app.side, undefined].includes(person(m, id).side);

function sides(m) {
  const all = [...new Set(m.people.map((p) => p.side).filter(Boolean))];
  if (all.length < 2) return null;
  const one = (side) => button(side || say("allSides"), () => { standOn(side); paint(); },
    { dir: "auto", "data-key": "side-" + side, "aria-pressed": String(app.side === side) });
  return h("div", { class: "blocks", role: "group", "aria-label": say("whoseSide") }, ["", ...all].map(one));
}

const row = (m, id) => h("li", {},
  button([h("span", { class: "tick", "aria-hidden": "true" }, isFound(m, id) ? "✓" : ""),
    h("span", { class: "what" }, calledParts(m, id))],
  () => { keepFound(id, isFound(m, id) ? 0 : m.now + 60_000); paint(); },
  { "data-key": "found-" + id, "aria-pressed": String(isFound(m, id)) }),
  button("…", () => personDialog(id),
    { "data-key": "person-" + id, class: "person", "aria-label": person(m, id).name }));

export function finderNow(m) {
  // Whoever is free, or had to leave by now, is not looked for any more.
  const seek = ([id, w]) => w.presence !== "left" && onSide(m, id) && isNeeded(m, id)
    && (w.presence !== "leaving" || w.until > m.now);
  const lost = Object.entries(m.state.people).filter(seek);
  const list = sought(m), language = document.documentElement.lang;
  put(find("main"), [list, lost, app.found, app.side, m.state.blocks, m.left.done, m.swapped, language], () => [
    sides(m),
    swapped(m),
    h("h1", { id: "title", class: "title" }, list.length ? say("toFind") : standstill(m)),
    h("ul", { class: "rows" }, lost.map(([id, w]) => h("li", { class: "waits" },
      button([h("span", { class: "what" }, bdi(person(m, id).name)), h("b", { class: "state" }, where(w))],
        () => personDialog(id), { "data-key": "lost-" + id })))),
    list.map((e) => h("section", { class: "sought" },
      h("h2", {}, e.at ? [clock(e.at), " "] : null, bdi(title(m, e.id)), " ", paperNumber(m, e.id), " ",
        h("span", { class: "howmany" }, number(e.who.length))),
      h("p", { class: "facts" }, bdi(blockTitle(m, e.block))),
      h("ul", {}, e.who.map((id) => row(m, id))))),
  ]);
}
