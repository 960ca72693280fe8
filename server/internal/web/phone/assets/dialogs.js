// What is asked when a button alone does not say enough.

import { app, mark, model, now } from "./app.js";
import { say, clock, minuteOfDay, list } from "./words.js";
import { h, button, find, plain } from "./dom.js";
import { title, name, names, bdi } from "./views.js";
import { called } from "./now.js";
import { members, away } from "./outlook.js";
import { newID } from "./id.js";

const close = () => find("dialog").close();

// ask opens the dialog with a heading and what is in it. What can be pressed stays in sight at its foot.
function ask(heading, ...parts) {
  const d = find("dialog");
  d.replaceChildren(h("h2", { id: "dialogtitle" }, bdi(heading)), ...parts.flat(9).filter(Boolean));
  const foot = d.querySelector(".foot") || d.appendChild(h("div", { class: "foot" }));
  foot.append(button(say("close"), close, { class: "close" }));
  d.onclick = (e) => { if (e.target === d) close(); }; // beside it
  if (!d.open) d.showModal();
  d.scrollTop = 0;
}

const then = (...marks) => () => { close(); mark(...marks); };

// check is a large box to tick, with a name.
const check = (id, text, more) => h("label", { class: "check" }, h("input", { type: "checkbox", value: id }), h("span", {}, bdi(text), more ? h("small", {}, bdi(more)) : null));

const ticked = (form) => [...form.querySelectorAll("input[type=checkbox][value]:checked")].map((i) => i.value);

// missingDialog asks who of a photograph cannot be found, and what to do about it.
export function missingDialog(id) {
  const m = model();
  const ids = members(m, id), gone = away(m, id);
  const form = h("form", { class: "checks" }, ids.map((p) => check(p, name(m, p), m.people.find((x) => x.id === p)?.relation)));
  for (const i of form.querySelectorAll("input")) i.checked = gone.includes(i.value);
  const block = m.left.blocks.find((b) => b.entries.some((e) => e.id === id))?.block ?? app.block;
  const absent = (who) => who.filter((p) => m.state.people[p]?.presence !== "missing").map((person) => ({ kind: "absent", person }));
  const wait = () => {
    const who = ticked(form);
    if (!who.length) return hint(form);
    close();
    mark(...absent(who), ...(m.state.groupings[id]?.status === "current" ? [{ kind: "put_back", grouping: id, block }] : []));
  };
  const without = () => {
    const who = ticked(form);
    if (!who.length) return hint(form);
    close();
    const already = m.state.groupings[id]?.without || [];
    mark(...absent(who), { kind: "without", grouping: id, people: [...new Set([...already, ...who])] });
  };
  ask(say("whoMissing"), h("p", { class: "facts" }, bdi(title(m, id))), form,
    h("div", { class: "foot" }, button(say("itWaits"), wait, { class: "main", id: "wait" }), ids.length > 1 ? button(say("takeWithout"), without, { id: "without" }) : null));
}

function hint(form) {
  form.querySelector(".alarm")?.remove();
  form.append(h("p", { class: "alarm", role: "alert" }, say("chooseSomebody")));
  form.querySelector("input")?.focus();
}

// groupingDialog shows one photograph with all its people and what can be done with it.
export function groupingDialog(id) {
  const m = model();
  const g = m.state.groupings[id], status = g?.status || "open";
  const block = g?.block || m.left.blocks.find((b) => b.entries.some((e) => e.id === id))?.block || app.block;
  const at = { grouping: id, block };
  const gone = away(m, id), without = g?.without || [];
  const may = app.whole.role !== "reader";
  const photo = m.photographs.get(id);
  const notes = [photo?.note, ...members(m, id).map((p) => m.people.find((x) => x.id === p)?.note)].filter(Boolean);
  ask(title(m, id),
    photo?.must ? h("p", { class: "facts" }, say("must")) : null,
    gone.length ? h("p", { class: "alarm" }, say("missingNow"), " ", names(m, gone)) : null,
    without.length ? h("p", { class: "notice" }, say("without"), " ", names(m, without)) : null,
    h("ul", { class: "few" }, members(m, id).map((p) => called(m, p))),
    notes.length ? h("details", {}, h("summary", {}, say("private")), notes.map((n) => h("p", { dir: "auto" }, n))) : null,
    may && h("div", { class: "foot" },
      status !== "done" && button(say("taken"), then({ kind: "taken", ...at }), { class: "main" }),
      status !== "done" && status !== "current" && button(say("start"), then({ kind: "started", ...at })),
      status !== "done" && gone.length > 0 && gone.length < members(m, id).length && button(say("takeWithoutThem", list(gone.map((p) => name(m, p)))), then({ kind: "without", grouping: id, people: [...without, ...gone] })),
      status !== "done" && without.length > 0 && button(say("waitAgain"), then({ kind: "without", grouping: id, people: [] })),
      status !== "done" && button(say("missing"), () => missingDialog(id)),
      status !== "done" && status !== "later" && button(say("later"), then({ kind: "skipped", ...at })),
      (status === "done" || status === "later" || status === "current") && button(say("putBack"), then({ kind: "put_back", ...at }))));
}

// personDialog says where somebody is.
export function personDialog(id) {
  const m = model();
  const p = m.people.find((x) => x.id === id), w = m.state.people[id];
  const soon = (minutes) => button(say("inMinutes", minutes), then({ kind: "late", person: id, until: Math.round(now() / 60_000) * 60_000 + minutes * 60_000 }));
  const field = h("input", { type: "time", id: "until", required: true });
  const form = h("form", { class: "pair", on: { submit: (e) => {
    e.preventDefault();
    const [hour, minute] = field.value.split(":").map(Number);
    let ahead = hour * 60 + minute - minuteOfDay(now());
    if (ahead < -120) ahead += 24 * 60; // after midnight
    close();
    mark({ kind: "late", person: id, until: Math.floor(now() / 60_000) * 60_000 + ahead * 60_000 });
  } } }, h("label", { for: "until" }, say("comesAt")), field, h("button", { type: "submit" }, say("set")));
  ask(p.name,
    h("p", { class: "facts" }, p.relation && bdi(p.relation), p.relation && p.side && say("comma"), p.side && bdi(p.side)),
    w ? h("p", { class: "alarm" }, where(w)) : null,
    h("div", { class: "stack" },
      w ? button(say("arrived"), then({ kind: "arrived", person: id }), { class: "main" }) : null,
      w?.presence !== "missing" && button(say("notFound"), then({ kind: "absent", person: id })),
      w?.presence !== "left" && button(say("left"), then({ kind: "gone", person: id }))),
    h("h3", {}, say("comesLater")),
    h("div", { class: "row" }, soon(10), soon(20), soon(30)), form);
}

export const where = (w) => (w.presence === "missing" ? say("isMissing") : w.presence === "left" ? say("hasLeft") : say("comesAtTime", clock(w.until)));

// addDialog adds a photograph on the spot.
export function addDialog() {
  const m = model();
  const field = h("input", { id: "newtitle", type: "text", maxlength: 120, dir: "auto", required: true, autocomplete: "off" });
  const search = h("input", { type: "search", id: "search", autocomplete: "off", dir: "auto" });
  const must = h("input", { type: "checkbox" });
  const there = m.people.filter((p) => !p.absent);
  const boxes = [...(app.whole.circles || []).map((c) => check("circle:" + c.id, c.title, list(c.people.map((p) => name(m, p))))), ...there.map((p) => check(p.id, p.name, p.relation || p.side))];
  const choices = h("div", { class: "checks scroll" }, boxes);
  const chosen = h("p", { class: "facts", "aria-live": "polite" });
  const who = () => {
    const ids = ticked(choices).flatMap((id) => (id.startsWith("circle:") ? app.whole.circles.find((c) => c.id === id.slice(7)).people : [id]));
    return m.people.filter((p) => ids.includes(p.id)).map((p) => p.id);
  };
  choices.addEventListener("change", () => { chosen.replaceChildren(...names(m, who())); });
  search.addEventListener("input", () => { for (const b of boxes) b.hidden = !plain(b.textContent).includes(plain(search.value)); });
  const form = h("form", { on: { submit: (e) => {
    e.preventDefault();
    if (!who().length) return hint(form);
    close();
    mark({ kind: "added", grouped: { id: "day-" + newID(Date.now()), title: field.value.trim(), members: who(), ...(must.checked ? { must: true } : {}) } });
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
  ask(say("note"), h("form", { on: { submit: (e) => {
    e.preventDefault();
    if (!field.value.trim()) return;
    close();
    mark({ kind: "note", note: field.value.trim() });
  } } }, h("label", { for: "notetext" }, say("noteFor")), field, h("div", { class: "foot" }, h("button", { type: "submit", class: "main" }, say("keep")))));
}

// sure asks before something that cannot be taken back.
export function sure(question, yes, act) {
  ask(question, h("div", { class: "foot" }, button(yes, () => { close(); act(); }, { class: "main" })));
}
