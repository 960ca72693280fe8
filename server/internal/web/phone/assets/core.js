// Plans on this phone while the server does not: there is no signal, or its plan is late. What plans is the
// server's own program in a worker (planner.js), which only photographers' phones load, after all else. Where it is
// not there or fails, the order stays as outlook.js has it.

import { app, marks, now, paint, planHere, useCore } from "./state.js";
import * as keep from "./keep.js";
import * as server from "./server.js";

const patience = 3000; // ms that the server may take to plan before the phone does
const longest = 10_000; // ms that the core may take to answer, or it is not asked any more
const most = 3; // how often the core is begun: what could not be loaded without signal may be there with it
const again = 60_000; // ms after which a plan that nothing was marked since may be out of date

let page = false; // the page is kept, and what is loaded now is kept too
let worker = null, ready = false, busy = false, begun = 0;
let knows = ""; // the run that the core knows
let since = 0, asked = 0; // since when the plan does not heed all, and when the core was asked last
let failed = ""; // the marks with which it has failed

export function loadCore() {
  page = true;
  paint();
}

// consider has the core loaded, told what planning goes by, and asked, as it is needed.
export function consider(m) {
  if (!m || !page || !marks() || (app.core === "none" && (begun >= most || !app.contact.live))) return;
  if (!app.whole.core || !globalThis.Worker || !globalThis.WebAssembly) return useCore("none");
  since = m.fresh ? 0 : since || Date.now();
  if (!worker) return begin();
  if (!ready || busy) return;
  if (knows !== app.whole.run) return learn(m);
  if (wants(m)) plan(m);
}

function wants(m) {
  if (m.fresh) return !app.contact.live && m.now - m.plan.made >= again && Date.now() - asked >= again;
  return failed !== key(m) && (!app.contact.live || Date.now() - since >= patience);
}

const key = (m) => m.marks.map((x) => x.id).join();

function begin() {
  begun++;
  try {
    worker = new Worker("./planner.js");
  } catch {
    return useCore("none");
  }
  useCore("");
  worker.onerror = (e) => { e.preventDefault(); end(); };
  worker.onmessage = () => { ready = true; paint(); };
}

// end is that this phone does not plan for now: it keeps the order that it has.
function end() {
  worker?.terminate();
  worker = null;
  ready = false;
  knows = "";
  useCore("none");
  paint();
}

const ask = (question) => new Promise((resolve, reject) => {
  const late = setTimeout(() => { reject(new Error("no answer")); end(); }, longest);
  worker.onmessage = ({ data }) => {
    clearTimeout(late);
    if (data.failed === undefined) resolve(data.answer);
    else reject(new Error(data.failed));
  };
  worker.postMessage(question);
});

// learn tells the core of the run, by what this device kept or by what the server says.
async function learn(m) {
  busy = true;
  const { run } = app.whole, { link } = app;
  try {
    let about = await keep.about(link, run).catch(() => "");
    if (!about) {
      about = JSON.stringify(await server.about(link, run));
      await keep.keepAbout(link, run, about).catch(() => {}); // it is asked for again
    }
    await ask({ know: about });
    await ask(question(m, false)).catch(() => {}); // a program that has run before is faster
    if (!ready) return; // it has ended
    knows = run;
    useCore("ready");
  } catch { // without signal there is another time
    await new Promise((r) => { setTimeout(r, 5000); });
  } finally {
    busy = false;
    paint();
  }
}

function question(m, heeded = m.fresh) {
  const told = Math.max(0, ...m.marks.map((x) => x.at));
  return { plan: JSON.stringify({ now: now(), told, plan: m.plan, heeded, alone: true, marks: m.marks }) };
}

async function plan(m) {
  busy = true;
  asked = Date.now();
  const base = app.view.plan?.made || 0, { run } = app.whole;
  try {
    const answer = await ask(question(m));
    if (answer && run === app.view?.run) {
      planHere(JSON.parse(answer), m.marks, base);
      keep.keepView({ ...app.view, whole: app.whole }).catch(() => {}); // it is planned again
    }
  } catch {
    failed = key(m);
  } finally {
    busy = false;
    paint();
  }
}
