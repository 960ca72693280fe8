// The views beside the one of now: what is left and taken, the overview with forecast and owed, the
// people, and what else can be done.

import { app, beginAnew, dismiss, leaveDevice, refused, speak, unsent } from "./app.js";
import { say, clock, length, number, languages, language } from "./words.js";
import { h, button, put, find, plain } from "./dom.js";
import { names, name, title, bdi, forecast, isReader } from "./views.js";
import { addDialog, groupingDialog, noteDialog, personDialog, sure, where } from "./dialogs.js";

const blockTitle = (m, id) => { const b = m.blocks.find((x) => x.id === id); return b?.title || b?.place || ""; };

const seen = (m, kind) => [kind, m.left, m.state.people, m.state.notes, app.whole.newer, app.worker, unsent().length, refused().length, document.documentElement.lang];

function row(m, id, lead, more, kind) {
  return h("li", { class: kind }, button([h("span", { class: "time" }, lead), h("span", { class: "what" }, bdi(title(m, id)), more ? h("small", {}, more) : null)], () => groupingDialog(id), { "data-key": "row-" + id }));
}

export function listView(m) {
  put(find("main"), seen(m, "list"), () => [
    h("h1", {}, say("tab.list")),
    isReader() ? null : h("div", { class: "row" }, button(say("add"), addDialog, { id: "addnew", "data-key": "add" }), button(say("print"), () => print(), { "data-key": "print" })),
    m.left.blocks.filter((b) => b.entries.length).map((b) => h("section", {},
      h("h2", {}, bdi(blockTitle(m, b.block))),
      h("ol", { class: "rows" }, b.entries.map((e) => row(m, e.id, e.at ? clock(e.at) : "", status(m, e), e.current ? "current" : ""))))),
    m.left.waiting.length ? h("section", {}, h("h2", {}, say("waiting")), h("ul", { class: "rows" }, m.left.waiting.map((w) => row(m, w.id, "", why(m, w), "waits")))) : null,
    m.left.done.length ? h("section", {}, h("h2", {}, say("taken")), h("ul", { class: "rows" }, [...m.left.done].reverse().map((id) => row(m, id, clock(m.state.groupings[id].finished), "", "done")))) : null,
  ]);
}

function status(m, e) {
  const parts = [e.current ? say("taking") : "", e.later ? say("putOff") : "", length(e.length), m.photographs.get(e.id)?.must ? say("must") : ""].filter(Boolean).join(say("comma"));
  return e.missing.length ? [parts, h("br"), h("b", {}, say("missingNow"), " ", names(m, e.missing))] : parts;
}

// why says what keeps a photograph from being taken.
function why(m, w) {
  if (w.missing.length) {
    const until = w.missing.map((p) => m.state.people[p]).every((x) => x.presence === "coming" && x.until) ? Math.max(...w.missing.map((p) => m.state.people[p].until)) : 0;
    return [say("waitsFor"), " ", names(m, w.missing), until ? say("comma") + say("comesAtTime", clock(until)) : ""];
  }
  return w.reason || say("notPlanned");
}

export function overview(m) {
  put(find("main"), seen(m, "overview"), () => {
    const { done, owed } = m.left.count, all = done + owed;
    const absent = Object.entries(m.state.people);
    return [
      h("h1", {}, bdi(app.whole.title)),
      h("p", { class: "big" }, say("progress", done, number(all))),
      h("progress", { max: all || 1, value: done, "aria-label": say("progress", done, number(all)) }),
      m.left.blocks.filter((b) => b.entries.length || b.drop?.length).map((b) => endOf(m, b)),
      absent.length ? h("section", {}, h("h2", {}, say("notHere")), h("ul", { class: "plain" }, absent.map(([id, w]) => h("li", {}, h("b", {}, bdi(name(m, id))), " ", where(w))))) : null,
      h("section", {}, h("h2", {}, say("owed"), " ", h("span", { class: "howmany" }, number(m.left.waiting.length))),
        m.left.waiting.length ? h("ul", { class: "rows" }, m.left.waiting.map((w) => row(m, w.id, "", [why(m, w), h("br"), say("needed"), " ", names(m, w.needed)], "waits"))) : h("p", {}, say("nothingOwed"))),
      h("section", {}, h("h2", {}, say("stillToTake"), " ", h("span", { class: "howmany" }, number(owed - m.left.waiting.length))),
        m.left.blocks.map((b) => h("ol", { class: "rows" }, b.entries.map((e) => row(m, e.id, e.at ? clock(e.at) : "", [status(m, e), h("br"), say("needed"), " ", needed(m, e)]))))),
      m.state.notes.length ? h("section", {}, h("h2", {}, say("notes")), h("ul", { class: "plain" }, m.state.notes.map((n) => h("li", {}, clock(n.at), " ", bdi(n.text))))) : null,
    ];
  });
}

// needed lists who a photograph needs; of many only how many there are.
function needed(m, e) {
  const all = [...e.stay, ...e.in];
  return all.length > 12 ? say("people", all.length) : names(m, all);
}

function endOf(m, b) {
  const f = forecast(b);
  return h("section", { class: "card" },
    h("h2", {}, bdi(blockTitle(m, b.block) || say("finishes"))),
    b.finish ? h("p", { class: "big" }, f.finish, " ", f.over ? h("b", { class: f.late ? "late" : "early" }, f.over) : null) : null,
    b.safe ? h("p", {}, say("safely", clock(b.safe)), b.closes ? say("comma") + say("closes", clock(b.closes)) : "") : null,
    m.fresh ? null : h("p", { class: "facts" }, say("roughly")),
    b.drop?.length ? h("p", { class: "alarm" }, say("drop"), " ", b.drop.flatMap((id, i) => [i ? say("comma") : "", bdi(title(m, id))])) : null);
}

export function peopleView(m) {
  // Those who were away when the view was opened come first. Nobody moves while it is open: the next touch
  // would be somebody else.
  app.first ??= new Set(Object.keys(m.state.people));
  const shown = m.people.filter((p) => !p.absent).sort((a, b) => app.first.has(b.id) - app.first.has(a.id));
  put(find("main"), seen(m, "people"), () => {
    const rows = shown.map((p) => {
      const w = m.state.people[p.id];
      return h("li", { class: w ? "waits" : "" }, button([h("span", { class: "what" }, bdi(p.name), h("small", {}, [p.relation && bdi(p.relation), p.relation && p.side ? say("comma") : "", p.side && bdi(p.side)])), w ? h("b", { class: "state" }, where(w)) : null], () => personDialog(p.id), { "data-key": "person-" + p.id }));
    });
    const search = h("input", { type: "search", id: "find", autocomplete: "off", dir: "auto", value: app.find || "", "data-key": "find" });
    const narrow = () => { app.find = search.value; for (const r of rows) r.hidden = !plain(r.textContent).includes(plain(search.value)); };
    search.addEventListener("input", narrow);
    narrow();
    return [h("h1", {}, say("tab.people")), h("label", { for: "find" }, say("find")), search, h("ul", { class: "rows" }, rows)];
  });
}

export function moreView(m) {
  put(find("main"), seen(m, "more"), () => [
    h("h1", {}, say("tab.more")),
    refused().length ? h("section", { class: "alarm" }, h("p", {}, say("refused", refused().length)), h("ul", {}, refused().map((p) => h("li", {}, say("told." + p.mark.kind, p.mark.grouping ? title(m, p.mark.grouping) : p.mark.person ? name(m, p.mark.person) : p.mark.grouped?.title || "", ""), " ", p.refused === "gone" ? say("trouble.gone") : h("span", { lang: "en", dir: "ltr" }, p.refused)))), button(say("dismiss"), dismiss)) : null,
    isReader() ? null : h("div", { class: "stack" }, button(say("note"), noteDialog, { "data-key": "note" }), button(say("add"), addDialog, { "data-key": "add" })),
    h("div", { class: "stack" }, button(say("print"), () => print(), { "data-key": "print" })),
    h("label", { for: "language" }, say("language")),
    h("select", { id: "language", "data-key": "language", on: { change: (e) => speak(e.target.value) } }, languages().map((l) => h("option", { value: l.tag, lang: l.tag, selected: l.tag === language() }, l.name))),
    app.whole.newer ? h("section", { class: "notice" }, h("p", {}, say("newer")), button(say("beginAnew"), () => sure(say("beginAnewAsk"), say("beginAnew"), beginAnew))) : null,
    h("section", { class: "says" }, h("h2", {}, say("thisDevice")), h("p", {}, say(app.worker ? "secure" : "insecure")), app.worker ? null : h("p", {}, h("a", { class: "link", href: "/trust" }, say("howTrust"))), h("p", {}, say("kept"))),
    h("div", { class: "stack" }, button(say("leave"), () => sure(unsent().length ? say("leaveUnsent", unsent().length) : say("leaveAsk"), say("leave"), leaveDevice))),
  ]);
}
