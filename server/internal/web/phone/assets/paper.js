// The list on paper: all that is left with the names, seen only when the page is printed.

import { app, isReader } from "./state.js";
import { say, clock, number } from "./words.js";
import { h, put, find } from "./dom.js";
import { bdi, joined, names, paperNumber, placeOf, title } from "./parts.js";
import { members } from "./outlook.js";

export function paper(m) {
  put(find("paper"), [m.left, document.documentElement.lang, app.whole.role], () => {
    const { blocks, waiting, count } = m.left;
    const head = (label) => h("b", {}, label.replace(/\s*[:：]$/, ""), say("colon"), " ");
    const line = (label, ids) => (ids.length ? h("p", {}, head(label), names(m, ids)) : null);
    const box = () => h("span", { class: "box" });
    const gap = (text) => h("span", { class: "gap" }, bdi(text));
    const entry = (e) => h("article", {},
      h("h3", {}, box(), paperNumber(m, e.id), " ", e.at ? gap(clock(e.at)) : null, bdi(title(m, e.id))),
      line(say("walkIn"), e.in), line(say("stay"), e.stay), line(say("walkOut"), e.out), line(say("free"), e.released));
    const owed = (w) => h("article", {},
      h("h3", {}, box(), bdi(title(m, w.id))),
      line(say("waitsFor"), w.missing), line(say("needed"), members(m, w.id)));
    return [
      h("h1", {}, bdi(app.whole.title)),
      h("p", {}, say("progress", count.done, number(count.done + count.owed)), say("facts"), clock(m.now)),
      blocks.filter((b) => b.entries.length).map((b) => {
        const called = m.blocks.find((x) => x.id === b.block)?.title;
        const heading = h("h2", {}, joined([called, placeOf(m, b.block)].filter(Boolean)));
        return h("section", {}, heading, b.entries.map(entry));
      }),
      [["owed", false], ["noPlace", true]].map(([heading, left]) => {
        const those = isReader() ? [] : waiting.filter((w) => w.left === left);
        return those.length ? h("section", {}, h("h2", {}, say(heading)), those.map(owed)) : null;
      }),
    ];
  });
}
