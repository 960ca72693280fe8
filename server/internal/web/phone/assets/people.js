// The page of one person: where they are, which photographs they are in, and whoever joins on the day.

import { app, marks, model, now, tells } from "./state.js";
import { mark } from "./contact.js";
import { say, clock, minuteOfDay } from "./words.js";
import { h, button, plain } from "./dom.js";
import { bdi, tied, title, where } from "./parts.js";
import { ask, check, close, guest, then, ticked } from "./dialogs.js";
import { members, takeIn } from "./outlook.js";
import { newID } from "./id.js";

// personDialog says where somebody is and what they are in.
export function personDialog(id) {
  const m = model();
  const p = guest(m, id), w = m.state.people[id];
  const comes = (minute) => ({ kind: "late", person: id, until: minute * 60_000 });
  const soon = (minutes) => button(say("inMinutes", minutes), then(comes(Math.round(now() / 60_000) + minutes)));
  const field = h("input", { type: "time", id: "until", required: true });
  const form = h("form", { class: "pair", on: { submit: (e) => {
    e.preventDefault();
    const [hour, minute] = field.value.split(":").map(Number);
    let ahead = hour * 60 + minute - minuteOfDay(now());
    if (ahead < -120) ahead += 24 * 60; // after midnight
    close();
    mark(comes(Math.floor(now() / 60_000) + ahead));
  } } }, h("label", { for: "until" }, say("comesAt")), field, h("button", { type: "submit" }, say("set")));
  const arrived = { kind: "arrived", person: id, ...(p.invited && { groupings: p.invited }) };
  const here = button(say("arrived"), then(arrived, ...(marks() ? takeIn(m, id) : [])), { class: "main" });
  const more = h("div", { class: "stack" }, button(say("inMorePhotos"), () => joinDialog(id), { id: "join" }));
  if (p.absent) return ask(p.name, h("p", { class: "alarm" }, say("notComing")), p.invited ? here : null, more);
  const known = [h("p", { class: "facts" }, tied(p)), w ? h("p", { class: "alarm" }, where(w)) : null];
  const leaves = button(say("leavesIn", 10), then({ ...comes(Math.floor(now() / 60_000) + 10), kind: "leaving" }));
  if (!marks()) {
    const says = !tells() ? null : h("div", { class: "stack" }, w ? here : null,
      w?.presence !== "missing" && button(say("notFound"), then({ kind: "absent", person: id })), leaves);
    return ask(p.name, known, says, photographsOf(m, id));
  }
  ask(p.name, known,
    h("div", { class: "stack" },
      w || p.leaves ? here : null,
      w?.presence !== "missing" && button(say("notFound"), then({ kind: "absent", person: id })),
      leaves,
      w?.presence !== "left" && button(say("left"), then({ kind: "gone", person: id }))),
    h("details", {}, h("summary", {}, say("comesLater")),
      h("div", { class: "row" }, soon(10), soon(20), soon(30)), form),
    photographsOf(m, id), more);
}

// photographsOf lists what somebody is in, in the order of the day, and when they are free.
function photographsOf(m, id) {
  const entries = m.left.blocks.flatMap((b) => b.entries).sort((a, b) => (a.at || 0) - (b.at || 0));
  const last = entries.find((e) => e.released.includes(id));
  const line = (photo, time, kind) => (members(m, photo).includes(id)
    ? h("li", { class: kind }, time ? [bdi(clock(time)), " "] : null, bdi(title(m, photo))) : null);
  return [
    h("h3", {}, say("theirPhotos")),
    last?.at ? h("p", { class: "facts" }, say("freeAt", clock(last.at + last.length * 1000), title(m, last.id))) : null,
    h("ul", { class: "plain" },
      entries.map((e) => line(e.id, e.at)), m.left.waiting.map((w) => line(w.id, 0, "waits")),
      [...m.left.done, ...m.left.leftOut].map((x) => line(x, 0, "done"))),
  ];
}

// joinDialog puts somebody into photographs: whoever is named, else somebody who is not on the list.
export function joinDialog(id) {
  const m = model(), joined = m.state.joined[id]?.groupings || [], newcomer = !id || guest(m, id).joined;
  const field = h("input", {
    id: "joinname", type: "text", maxlength: 200, dir: "auto", required: true, autocomplete: "off",
    value: id ? guest(m, id).name : app.find,
  });
  const open = [...m.left.blocks.flatMap((b) => b.entries.map((e) => e.id)), ...m.left.waiting.map((w) => w.id)];
  const listed = (g) => app.whole.photographs.some((p) => p.id === g && p.members.includes(id));
  const boxes = open.filter((g) => !listed(g)).map((g) => check(g, title(m, g)));
  for (const b of boxes) {
    const box = b.querySelector("input");
    box.checked = joined.includes(box.value);
  }
  const search = h("input", { type: "search", id: "joinfind", autocomplete: "off", dir: "auto" });
  search.addEventListener("input", () => {
    for (const b of boxes) b.hidden = !plain(b.textContent).includes(plain(search.value));
  });
  const form = h("form", { on: { submit: (e) => {
    e.preventDefault();
    const name = newcomer ? field.value.trim() : "";
    if (newcomer && !name) return;
    const over = joined.filter((g) => !open.includes(g)); // what is taken stays as it was
    close();
    mark({ kind: "joined", person: id || "day-" + newID(Date.now()), name, groupings: [...over, ...ticked(form)] });
  } } },
    newcomer ? [h("label", { for: "joinname" }, say("personName")), field] : null,
    h("label", { for: "joinfind" }, say("inWhich")), search,
    h("div", { class: "checks scroll" }, boxes),
    h("div", { class: "foot" }, h("button", { type: "submit", class: "main", id: "joined" }, say("keep"))));
  ask(id ? guest(m, id).name : say("addPerson"), form);
}
