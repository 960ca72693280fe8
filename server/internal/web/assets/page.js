"use strict";
// Comfort only: every page works without this.

const ours = document.currentScript.src; // the server's other addresses are beside it

// What the page says once it has loaded is told again, because readers of the screen pass over
// what stands there from the start.
const said = document.querySelector("[role=alert], .said, .notice");
const live = document.getElementById("live");
if (said && live) setTimeout(() => { live.textContent = said.textContent; }, 100);

let form = document.getElementById("work"); // another one when another window changed the page
let sent = false, reached = false;

document.addEventListener("submit", (e) => {
  const button = e.submitter;
  const elsewhere = button && (button.formTarget === "_blank" || (button.getAttribute("formaction") || "").endsWith("/save"));
  if (saving && e.target === form) { // what is on its way changes the version that the form names
    e.preventDefault();
    saving.finally(() => form.requestSubmit(button));
    return;
  }
  sent = true;
  if (e.target.dataset.keep && !elsewhere && !reached) { // a page of the browser's in the place of this one would take what was typed along
    e.preventDefault();
    fetch(new URL("healthz", ours), { cache: "no-store" }).then(() => {
      reached = true;
      e.target.requestSubmit(button);
    }, () => {
      sent = false;
      typed = true;
      tell("failed", true);
      soon = setTimeout(save, 5000);
    });
    return;
  }
  reached = false;
  if (elsewhere) { // this page stays
    setTimeout(() => { sent = false; }, 1000);
    return;
  }
  const busy = button && button.dataset.busy;
  if (busy && live) {
    live.textContent = busy;
    button.textContent = busy;
    button.setAttribute("aria-busy", "true");
  }
});

// Coming back by the browser's own way, the page is as it was before the button was pressed.
// What is kept may have gone on since.
addEventListener("pageshow", (e) => {
  if (e.persisted && document.querySelector("[data-keep], #choice")) location.reload();
  if (e.persisted) sent = false;
});

// Where nothing is kept, leaving loses what is here, if there is a list.
addEventListener("beforeunload", (e) => {
  if (form && !sent && !form.dataset.keep && form.elements.text?.value) e.preventDefault();
});

// Where it is kept, so is what is being typed: a moment after the last key, and when the page is left.
const state = () => document.getElementById("saved");
let saving = null, typed = false, loose = false, soon = 0;

function fields() {
  const out = new FormData(form);
  out.delete("file"); // it comes with the button
  return out;
}

// settle takes what the server says of what it keeps: a new event has its address from now on.
function settle(kept) {
  if (!kept.kept) return;
  let version = form.elements.version;
  if (!version) {
    version = Object.assign(document.createElement("input"), { type: "hidden", name: "version" });
    form.prepend(version);
    history.replaceState(null, "", kept.root + location.search);
    form.action = kept.root + "/list";
  }
  version.value = kept.version;
  form.dataset.keep = kept.root + "/keep";
  if (state()) state().textContent = kept.saved;
  const bar = document.getElementById("bar");
  if (bar && kept.bar) bar.textContent = kept.bar;
  follow();
}

// tell says something where it stands when the page was saved. The words are there in the language of the page.
function tell(which, failed) {
  const at = state();
  if (!at) return;
  at.textContent = at.dataset[which];
  at.classList.toggle("failed", failed);
  if (live) live.textContent = at.textContent;
}

// apart is a window that is behind another one: what is typed here is kept beside, and a reload shows both.
function apart(kept) {
  tell("clash", true);
  if (!form.elements.aside) form.prepend(Object.assign(document.createElement("input"), { type: "hidden", name: "aside" }));
  form.elements.aside.value = kept.aside;
  history.replaceState(null, "", kept.both);
  const both = document.getElementById("both");
  if (!both) return;
  both.href = kept.both;
  both.hidden = false;
}

async function save() {
  clearTimeout(soon);
  if (saving || !typed) return saving;
  typed = false;
  saving = (async () => {
    try {
      const answer = await fetch(form.dataset.keep, { method: form.method, body: fields() });
      if (answer.status === 409) { apart(await answer.json()); return; }
      if (!answer.ok) throw new Error(answer.statusText);
      settle(await answer.json());
      if (state()) state().classList.remove("failed");
    } catch {
      typed = true;
      tell("failed", true);
      soon = setTimeout(save, 5000);
    } finally {
      saving = null;
    }
  })();
  return saving;
}

if (form && form.dataset.keep) {
  document.addEventListener("input", (e) => {
    if (e.target.form !== form) return;
    if (e.target.type === "file" || !form.elements.text || e.target.closest("[data-loose]")) { // kept when a button is pressed
      loose = true;
      return;
    }
    typed = true;
    clearTimeout(soon);
    soon = setTimeout(save, 800);
  });
  addEventListener("pagehide", () => { if (typed && !sent) navigator.sendBeacon(form.dataset.keep, fields()); });
  document.addEventListener("click", (e) => {
    const link = e.target.closest("a[href]");
    if (!link || link.target || !(typed || saving) || link.getAttribute("href").startsWith("#")) return;
    e.preventDefault();
    Promise.resolve(save()).finally(() => { location.href = link.href; });
  });
  document.addEventListener("visibilitychange", follow);
}

// What other windows keep shows here at once. While something is typed here it does not: keeping that shows both.
// A window that is not seen follows nothing, because browsers open few connections to one server.
let source = null, newest = 0;

function follow() {
  const root = form && form.elements.version && form.dataset.keep && form.dataset.keep.replace(/keep$/, "");
  if (!root || document.hidden) {
    if (source) source.close();
    source = null;
  } else if (!source) {
    source = new EventSource(root + "live");
    source.addEventListener("version", (e) => { newest = Number(e.data); refresh(); });
  }
}

// behind says that the page is of an older version, and that nothing on it would be lost.
const behind = () => form.elements.version && newest > Number(form.elements.version.value) && !typed && !loose && !sent && !form.elements.aside;

async function refresh() {
  await saving;
  if (!behind()) return;
  const here = new URL(location.href);
  here.searchParams.delete("told"); // it was said
  const answer = await fetch(here).catch(() => null);
  const text = answer && answer.ok && await answer.text();
  if (!text || !behind()) return;
  history.replaceState(null, "", answer.url); // a plan of another list is gone, and the page is that of the list
  replace(new DOMParser().parseFromString(text, "text/html"));
  tell("elsewhere", false);
}

// replace puts a newer page in the place of this one. The focus, the cursor and what was unfolded stay.
function replace(page) {
  const at = document.activeElement;
  const same = at && (at.id ? "#" + CSS.escape(at.id) : at.name && `[name="${CSS.escape(at.name)}"][value="${CSS.escape(at.value)}"]`);
  const cursor = at && at.selectionStart;
  const head = (d) => d.firstElementChild.textContent;
  const folds = () => [...document.querySelector("main").querySelectorAll("details")];
  const open = folds().filter((d) => d.open).map(head);
  for (const part of ["header.top", "main"]) document.querySelector(part).replaceWith(page.querySelector(part));
  for (const d of folds()) d.open ||= open.includes(head(d));
  document.title = page.title;
  form = document.getElementById("work");
  const there = same && document.querySelector(same);
  if (!there) return;
  there.focus({ preventScroll: true });
  if (typeof cursor === "number") there.setSelectionRange(cursor, cursor);
}

follow();

// The link of somebody who plans has its secret where browsers send it to nobody. Out of the address, and in.
const secret = document.getElementById("secret");
if (secret && location.hash.length > 20) {
  secret.value = location.hash.slice(1);
  history.replaceState(null, "", location.pathname + location.search);
  secret.form.requestSubmit();
}

// An address to copy. Where the browser does not let a script, it is there to be copied by hand.
for (const button of document.querySelectorAll("button[data-copy]")) {
  button.hidden = false;
  button.addEventListener("click", async () => {
    const field = document.getElementById(button.dataset.copy);
    field.select();
    try {
      await navigator.clipboard.writeText(field.value);
    } catch {
      document.execCommand("copy");
    }
    button.textContent = button.dataset.done;
    if (live) live.textContent = button.dataset.done;
  });
}

// How much a photo is wanted, by one key on its button: 1 must, 2 wanted, 3 if there is time.
document.addEventListener("keydown", (e) => {
  const button = e.target.closest("[data-priority]");
  const name = { 1: "must", 2: "should", 3: "nice" }[e.key];
  if (!button || !name || e.altKey || e.ctrlKey || e.metaKey) return;
  e.preventDefault();
  button.value = `priority:${name}:${button.dataset.priority}`;
  form.requestSubmit(button);
});

// A field that is spoken of inside something folded up is unfolded.
document.addEventListener("click", (e) => {
  const link = e.target.closest("a[href^='#']");
  const field = link && document.getElementById(decodeURIComponent(link.hash.slice(1)));
  if (!field) return;
  for (let d = field.closest("details"); d; d = d.parentElement.closest("details")) d.open = true;
  e.preventDefault();
  if ((field.value || "").startsWith("person:") && field.form) { // a name in a photo shows what is known of them
    field.form.requestSubmit(field);
    return;
  }
  field.focus();
  field.scrollIntoView({ block: "center" });
});
