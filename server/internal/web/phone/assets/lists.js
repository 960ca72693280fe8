// The views beside the one of now: what is left and taken, the overview with forecast and owed, the
// people, and what else can be done.

import { app, marks, paint, refused, search, unsent } from "./state.js";
import { beginAnew, dismiss, leaveDevice, moveTo } from "./contact.js";
import { keepSetting } from "./keep.js";
import { say, sentence, clock, length, number, languages, language, use } from "./words.js";
import { h, button, put, find, plain, stale } from "./dom.js";
import {
  bdi, blockTitle, forecast, joined, name, names, paperNumber, swapped, tied, title, told, where, whereabouts,
} from "./parts.js";
import { isAway, isNeeded } from "./outlook.js";
import { addDialog, blockDialog, groupingDialog, newerAsk, noteDialog, oldAsk, sure } from "./dialogs.js";
import { joinDialog, personDialog } from "./people.js";

const seen = (m, kind) => [
  kind, m.left, m.state.people, m.state.joined, m.state.blocks, m.state.notes, app.whole.newer, app.worker,
  m.plan?.swapped, unsent().length, refused().length, app.contact.live, document.documentElement.lang,
];

function row(m, id, lead, more, kind) {
  const what = h("span", { class: "what" },
    bdi(title(m, id)), " ", paperNumber(m, id), more ? h("small", {}, more) : null);
  return h("li", { class: kind },
    button([h("span", { class: "time" }, lead), what], () => groupingDialog(id), { "data-key": "row-" + id }));
}

// section is a heading with a list below it, and nothing when nothing is in the list.
const section = (heading, kind, items) =>
  (items.length ? h("section", {}, h("h2", {}, heading), h("ul", { class: kind }, items)) : null);

const addButton = (props) => button(say("add"), addDialog, { "data-key": "add", ...props });
const printButton = () => button(say("print"), () => print(), { "data-key": "print" });

export function listView(m) {
  put(find("main"), seen(m, "list"), () => [
    h("h1", {}, say("tab.list")),
    app.whole.role === "reader" ? null
      : h("div", { class: "row" }, marks() ? addButton({ id: "addnew" }) : null, printButton()),
    m.left.blocks.filter((b) => b.entries.length).map((b) => h("section", {},
      h("h2", {}, bdi(blockTitle(m, b.block))),
      h("ol", { class: "rows" }, b.entries.map((e) =>
        row(m, e.id, e.at ? clock(e.at) : "", status(m, e), e.current ? "current" : ""))))),
    section(say("waiting"), "rows", waits(m, false)),
    section(say("noPlace"), "rows", waits(m, true)),
    section(say("taken"), "rows", [...m.left.done].reverse().map((id) =>
      row(m, id, clock(m.state.groupings[id].finished), "", "done"))),
    section(say("isLeftOut"), "rows", m.left.leftOut.map((id) => row(m, id, "", "", "done"))),
  ]);
}

function status(m, e) {
  const parts = [
    e.current ? say("taking") : "", e.later ? say("putOff") : "", length(e.length),
    m.photographs.get(e.id)?.must ? say("must") : "",
  ].filter(Boolean).join(say("facts"));
  const missing = e.missing.filter((p) => isAway(m, p, Math.max(m.now, e.at || 0)));
  const without = m.state.groupings[e.id]?.without || [];
  return [parts,
    missing.length ? [h("br"), h("b", {}, say("missingNow"), " ", names(m, missing))] : null,
    without.length ? [h("br"), h("b", {}, say("without"), " ", names(m, without))] : null];
}

// waits are rows of what waits for somebody, or of what the plan leaves out: then nobody is waited for.
const waits = (m, left) =>
  m.left.waiting.filter((w) => w.left === left).map((w) => row(m, w.id, "", why(m, w), "waits"));

// why says what keeps a photograph from being taken.
function why(m, w) {
  if (!w.missing.length) return sentence(w.why) || say(w.left ? "notPlanned" : "waiting");
  const missing = w.missing.map((p) => m.state.people[p]), here = w.missing.filter((p) => !isAway(m, p));
  if (here.length) { // and leave before the others come
    const others = { ...w, missing: w.missing.filter((p) => !here.includes(p)) };
    return [say("leavesSoon"), say("colon"), " ", whereabouts(m, here), say("facts"), why(m, others)];
  }
  if (missing.some((x) => x?.presence === "left")) {
    return [say("notHere"), say("colon"), " ", whereabouts(m, w.missing)];
  }
  const until = missing.every((x) => x.presence === "coming" && x.until) ? Math.max(...missing.map((x) => x.until)) : 0;
  return [say("waitsFor"), " ", names(m, w.missing), until ? say("facts") + say("comesAtTime", clock(until)) : ""];
}

export function overview(m) {
  put(find("main"), seen(m, "overview"), () => {
    const { blocks } = m.left, { done, owed } = m.left.count, all = done + owed;
    const waiting = m.left.waiting.filter((w) => !w.left);
    const headed = (text, n) => h("h2", {}, text, " ", h("span", { class: "howmany" }, number(n)));
    const needing = (more, who) => [more, h("br"), say("needed"), " ", who];
    return [
      h("h1", {}, bdi(app.whole.title)),
      h("p", { class: "big" }, say("progress", done, number(all))),
      h("progress", { max: all || 1, value: done, "aria-label": say("progress", done, number(all)) }),
      m.blocks.map((x) => endOf(m, blocks.find((b) => b.block === x.id) || { block: x.id, entries: [] })),
      ...[[say("notHere"), true], [say("leavesSoon"), false]].map(([label, gone]) => section(label, "plain",
        Object.entries(m.state.people).filter(([id, w]) => isAway(m, id) === gone && (gone || w.presence === "leaving")
          && (w.presence !== "leaving" || isNeeded(m, id)))
          .map(([id, w]) => h("li", {}, h("b", {}, bdi(name(m, id))), " ", where(w))))),
      h("section", {}, headed(say("owed"), waiting.length), waiting.length
        ? h("ul", { class: "rows" }, waiting.map((w) =>
          row(m, w.id, "", needing(why(m, w), names(m, w.needed)), "waits")))
        : h("p", {}, say("nothingOwed"))),
      section(say("noPlace"), "rows", waits(m, true)),
      h("section", {}, headed(say("stillToTake"), owed - m.left.waiting.length),
        blocks.filter((b) => b.entries.length).map((b, _, all) => [
          all.length > 1 && h("h3", {}, bdi(blockTitle(m, b.block))),
          h("ol", { class: "rows" }, b.entries.map((e) =>
            row(m, e.id, e.at ? clock(e.at) : "", needing(status(m, e), needed(m, e)))))])),
      section(say("notes"), "plain", m.state.notes.map((n) => h("li", {}, clock(n.at), " ", bdi(n.text)))),
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
  const over = f.over ? h("b", { class: f.late ? "late" : "early" }, f.over) : null;
  const closes = b.closes ? say("facts") + say("closes", clock(b.closes)) : "";
  const drop = (b.drop || []).map((id) => title(m, id));
  const shut = m.state.blocks[b.block]?.closed;
  return h("section", { class: "card" },
    h("h2", {}, bdi(blockTitle(m, b.block) || say("finishes"))),
    shut ? h("p", { class: "big" }, say("isClosed")) : null,
    b.finish ? h("p", { class: "big" }, f.finish, " ", over) : null,
    b.safe ? h("p", {}, say("safely", clock(b.safe), number(app.whole.sure || 80)), closes) : null,
    m.fresh ? null : h("p", { class: "facts" }, say("roughly")),
    drop.length
      ? h("details", {}, h("summary", {}, say("drop"), " ", number(drop.length)), h("p", {}, joined(drop))) : null,
    marks() && button(say("changeBlock"), () => blockDialog(b.block), { "data-key": "block-" + b.block }));
}

export function peopleView(m) {
  const last = (p) => (p.absent ? 2 : app.first.has(p.id) ? 0 : 1);
  const shown = m.people.filter((p) => !p.absent || marks()).sort((a, b) => last(a) - last(b));
  put(find("main"), seen(m, "people"), () => {
    const rows = shown.map((p) => {
      const w = m.state.people[p.id];
      const spoken = p.say ? [" ", h("small", {}, say("say", p.say))] : null;
      const who = h("span", { class: "what" }, bdi(p.name), spoken, h("small", {}, tied(p)));
      const state = p.absent ? say("notComing") : w && where(w);
      const press = button([who, state ? h("b", { class: "state" }, state) : null], () => personDialog(p.id),
        { "data-key": "person-" + p.id });
      return h("li", { class: state ? "waits" : "" }, press);
    });
    const field = h("input",
      { type: "search", id: "find", autocomplete: "off", dir: "auto", value: app.find, "data-key": "find" });
    const narrow = () => {
      search(field.value);
      for (const r of rows) r.hidden = !plain(r.textContent).includes(plain(field.value));
    };
    field.addEventListener("input", narrow);
    narrow();
    const label = h("label", { for: "find" }, say("find"));
    const add = marks()
      ? button(say("addPerson"), () => joinDialog(), { id: "addperson", "data-key": "addperson" }) : null;
    return [
      h("h1", {}, say("tab.people")), label, field, h("div", { class: "row" }, add), h("ul", { class: "rows" }, rows),
    ];
  });
}

export function moreView(m) {
  put(find("main"), seen(m, "more"), () => [
    h("h1", {}, say("tab.more")),
    refusals(m),
    stranded(),
    !marks() ? null
      : h("div", { class: "stack" }, button(say("note"), noteDialog, { "data-key": "note" }), addButton()),
    h("div", { class: "stack" }, printButton()),
    h("label", { for: "language" }, say("language")),
    h("select", { id: "language", "data-key": "language", on: { change: (e) => speak(e.target.value) } },
      languages().map((l) => h("option", { value: l.tag, lang: l.tag, selected: l.tag === language() }, l.name))),
    newer(),
    m.plan?.swapped && marks()
      ? h("section", { class: "notice" }, swapped({ swapped: m.plan.swapped }),
        button(say("oldList"), () => oldAsk(m), { id: "oldlist" })) : null,
    h("section", { class: "says" },
      h("h2", {}, say("thisDevice")),
      h("p", {}, say(app.worker ? "secure" : "insecure")),
      app.worker ? null : h("p", {}, h("a", { class: "link", href: "../trust" }, say("howTrust"))),
      h("p", {}, say("kept"))),
    h("div", { class: "stack" },
      button(say("leave"), () => {
        const n = unsent().length;
        sure(n ? say("leaveUnsent", n) : say("leaveAsk"), say("leave"), leaveDevice);
      }),
      marks() && app.view.marks.length > 0 && button(say("restart"),
        () => sure(say("restartAsk"), say("restart"), () => beginAnew({ fresh: true })), { id: "restart" })),
  ]);
}

// refusals are the marks that the server did not take, each with why.
function refusals(m) {
  const all = refused();
  if (!all.length) return null;
  const reason = (p) => {
    if (p.refused === "gone") return say("trouble.gone");
    if (p.refused === "UNKNOWN_ID") return say("refusedUnknown");
    return p.refused === "BAD_TIME" ? say("refusedTime") : say("refusedOther");
  };
  return h("section", { class: "alarm" },
    h("p", {}, say("refused", all.length)),
    h("ul", {}, all.map((p) => h("li", {}, told(m, p.mark), " ", reason(p)))),
    button(say("dismiss"), dismiss));
}

// stranded takes what is not sent to where the server is now.
function stranded() {
  if (!unsent().length || app.contact.live) return null;
  const field = h("input", { type: "url", id: "newlink", required: true, autocomplete: "off", "data-key": "newlink" });
  const wrong = h("p", { class: "alarm", role: "alert", hidden: true }, say("noLink"));
  const form = h("form", { on: { submit: (e) => {
    e.preventDefault();
    wrong.hidden = moveTo(field.value);
  } } }, h("label", { for: "newlink" }, say("newAddress")), field, wrong,
    h("div", { class: "stack" }, h("button", { type: "submit", id: "moveon" }, say("openNew"))));
  return h("section", {}, form);
}

// newer offers to begin anew when there is a newer sheet.
function newer() {
  if (!app.whole.newer) return null;
  return h("section", { class: "notice" }, h("p", {}, say("newer")), button(say("beginAnew"), newerAsk));
}

// speak has the page in another language.
async function speak(tag) {
  use(tag);
  await keepSetting("language", tag).catch(() => {});
  stale(...document.querySelectorAll("*"));
  paint();
}
