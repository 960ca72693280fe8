// What this device keeps, in IndexedDB: the links that opened the page here, what the server said last,
// and every mark until the server's own list holds it.

let db = null;
let broken = null; // why nothing can be kept, if so
const memory = { links: new Map(), views: new Map(), marks: new Map(), settings: new Map() };

const keys = { links: "link", views: "link", marks: "id", settings: "name" };

export async function openStore() {
  try {
    db = await new Promise((resolve, reject) => {
      const r = indexedDB.open("kinorder-day", 1);
      r.onupgradeneeded = () => {
        for (const [name, keyPath] of Object.entries(keys)) r.result.createObjectStore(name, { keyPath });
      };
      r.onsuccess = () => resolve(r.result);
      r.onerror = () => reject(r.error);
      r.onblocked = () => reject(new Error("blocked"));
      setTimeout(() => reject(new Error("no answer")), 5000); // some browsers never say that they will not
    });
    db.onversionchange = () => db.close();
  } catch (e) {
    broken = e;
  }
  return broken === null;
}

export const keeps = () => broken === null;

// work runs f on some stores; when it returns what was written is on disk.
function work(names, mode, f) {
  return new Promise((resolve, reject) => {
    const t = db.transaction(names, mode, { durability: mode === "readwrite" ? "strict" : "default" });
    const out = f(t);
    t.oncomplete = () => resolve(out?.result);
    t.onabort = t.onerror = () => reject(t.error || new Error("not kept"));
  });
}

const read = (name, f) => work([name], "readonly", (t) => f(t.objectStore(name)));
const all = async (name) => (broken ? [...memory[name].values()] : read(name, (s) => s.getAll()));
const one = async (name, key) => (broken ? memory[name].get(key) : read(name, (s) => s.get(key)));

async function put(name, values) {
  for (const v of values) memory[name].set(v[keys[name]], v);
  if (!broken) await work([name], "readwrite", (t) => { for (const v of values) t.objectStore(name).put(v); });
}

async function remove(name, ids) {
  for (const id of ids) memory[name].delete(id);
  if (!broken) await work([name], "readwrite", (t) => { for (const id of ids) t.objectStore(name).delete(id); });
}

export const links = () => all("links");
export const keepLink = (link) => put("links", [link]);
export const view = (link) => one("views", link);
export const marks = () => all("marks");
export const keepMarks = (list) => put("marks", list);
export const dropMarks = (ids) => remove("marks", ids);
export const setting = async (name) => (await one("settings", name))?.value;
export const keepSetting = (name, value) => put("settings", [{ name, value }]);

// keepView keeps what the server said last, unless another window kept something newer, and drops the
// marks that are in it: together, so that no mark is ever in neither.
export async function keepView(v) {
  memory.views.set(v.link, v);
  const held = new Set((v.marks || []).map((m) => m.id));
  if (broken) {
    for (const id of memory.marks.keys()) if (held.has(id)) memory.marks.delete(id);
    return;
  }
  await work(["views", "marks"], "readwrite", (t) => {
    const views = t.objectStore("views"), queue = t.objectStore("marks");
    const was = views.get(v.link);
    was.onsuccess = () => {
      const older = was.result && was.result.run === v.run && was.result.sequence > v.sequence;
      if (older) return;
      views.put(v);
      const kept = queue.getAllKeys();
      kept.onsuccess = () => { for (const id of kept.result) if (held.has(id)) queue.delete(id); };
    };
  });
}

// about is what planning a run goes by, kept beside the view of its link.
const beside = (link) => link + " core";
export const about = async (link, run) => {
  const kept = await one("views", beside(link));
  return kept?.run === run ? kept.about : "";
};
export const keepAbout = (link, run, about) => put("views", [{ link: beside(link), run, about }]);

// forget wipes a link and what was shown by it. Marks stay: they are nobody's but the event's.
export async function forget(link, withLink) {
  await remove("views", [link, beside(link)]);
  if (withLink) await remove("links", [link]);
}
