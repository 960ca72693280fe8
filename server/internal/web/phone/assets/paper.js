// The list on paper: all that is left with the names, seen only when the page is printed.

import { app } from "./app.js";
import { say, clock, number } from "./words.js";
import { h, put, find } from "./dom.js";
import { names, title, bdi, isReader } from "./views.js";
import { members } from "./outlook.js";

export function paper(m) {
  put(find("paper"), [m.left, document.documentElement.lang, app.whole.role], () => {
    let n = m.left.count.done;
    const line = (label, ids) => (ids.length ? h("p", {}, h("b", {}, label, ": "), names(m, ids)) : null);
    return [
      h("h1", {}, bdi(app.whole.title)),
      h("p", {}, say("progress", m.left.count.done, number(m.left.count.done + m.left.count.owed)), say("comma"), clock(Math.floor(m.now / 60_000) * 60_000)),
      m.left.blocks.filter((b) => b.entries.length).map((b) => {
        const block = m.blocks.find((x) => x.id === b.block);
        return h("section", {}, h("h2", {}, [block?.title, block?.place].filter(Boolean).flatMap((t, i) => [i ? say("comma") : "", bdi(t)])),
          b.entries.map((e) => h("article", {},
            h("h3", {}, h("span", { class: "box" }), h("span", { class: "gap" }, bdi(number(++n))), e.at ? h("span", { class: "gap" }, bdi(clock(e.at))) : null, bdi(title(m, e.id))),
            line(say("walkIn"), e.in), line(say("stay"), e.stay), line(say("walkOut"), e.out), line(say("free"), e.released))));
      }),
      m.left.waiting.length && !isReader() ? h("section", {}, h("h2", {}, say("owed")), m.left.waiting.map((w) => h("article", {}, h("h3", {}, h("span", { class: "box" }), bdi(title(m, w.id))),
        line(say("waitsFor"), w.missing), line(say("needed"), members(m, w.id))))) : null,
    ];
  });
}
