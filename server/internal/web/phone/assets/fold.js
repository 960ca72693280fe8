// What a set of marks comes to. It is the fold of the server in another language: the same marks give
// the same state, in any order and however often they came, so that a phone without signal shows what
// all will see. A test runs both on the same marks.

const byTime = (a, b) => a.at - b.at || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);

// When a mark came: those that are not sent yet are the last.
const came = (m) => m ? m.sequence || Infinity : 0;

export function fold(marks) {
  const s = {
    groupings: {}, people: {}, blocks: {}, joined: {}, added: [], slots: [], frames: {}, notes: [], undoable: "",
    last: null, mine: {}, about: {},
  };
  for (const m of counting(unique(marks))) {
    apply(s, m);
    if (m.person) s.about[m.person] = m;
    if (came(m) >= came(s.last)) s.last = m; // the clocks of devices have no say in what is taken back
    const by = m.by || "", before = s.mine[by];
    // The last of each link, with what was marked by the same press.
    if (came(m) >= came(before)) s.mine[by] = { ...m, press: [...(together(before, m) ? before.press : []), m.id] };
  }
  s.undoable = s.last?.id || "";
  s.slots.sort((a, b) => a.finished - b.finished);
  return s;
}

// Marks of one press are a millisecond apart, by the times in their ids: no clock changes those.
const made = (id) => parseInt(id.replaceAll("-", "").slice(0, 12), 16);
const together = (a, b) => Boolean(a) && made(b.id) - made(a.id) === 1;

function unique(marks) {
  const byID = new Map();
  for (const m of marks) if (!byID.has(m.id)) byID.set(m.id, m);
  return [...byID.values()].sort(byTime);
}

// Undoings may be undone in their turn: a mark counts when no undoing of it counts. Undoings that undo
// each other in a ring count for nothing.
function counting(sorted) {
  const target = new Map(), undoers = new Map();
  for (const m of sorted) {
    if (m.kind !== "undone") continue;
    target.set(m.id, m.undoes);
    undoers.set(m.undoes, [...(undoers.get(m.undoes) || []), m.id]);
  }
  const ringed = rings(target), known = new Map();
  const counts = (id) => {
    if (ringed.has(id)) return false;
    if (!known.has(id)) known.set(id, !(undoers.get(id) || []).some(counts));
    return known.get(id);
  };
  return sorted.filter((m) => m.kind !== "undone" && counts(m.id));
}

function rings(target) {
  const ringed = new Set(), left = new Set();
  for (const start of target.keys()) {
    const path = [];
    let id = start;
    while (target.has(id) && !path.includes(id) && !left.has(id)) {
      path.push(id);
      id = target.get(id);
    }
    const from = path.indexOf(id);
    if (from >= 0) for (const on of path.slice(from)) ringed.add(on);
    for (const on of path) left.add(on);
  }
  return ringed;
}

function apply(s, m) {
  switch (m.kind) {
    case "started": case "taken": case "put_back": case "skipped": case "left_out": case "changed": case "without":
      return grouping(s, m);
    case "absent":
      delete s.people[m.person];
      if (!m.until) s.people[m.person] = { presence: "missing", since: m.at };
      return;
    case "gone": s.people[m.person] = { presence: "left", since: m.at }; return;
    case "late": s.people[m.person] = { presence: "coming", since: m.at, until: m.until || 0 }; return;
    case "leaving": s.people[m.person] = { presence: "leaving", since: m.at, until: m.until || 0 }; return;
    case "block": return reset(s, m);
    case "joined": return join(s, m);
    case "arrived": return arrive(s, m);
    case "added": if (m.grouped && !s.added.some((g) => g.id === m.grouped.id)) s.added.push(m.grouped); return;
    case "note": s.notes.push({ id: m.id, text: m.note, at: m.at }); return;
  }
}

function reset(s, m) {
  const block = m.block || "";
  const { opens = 0, closes = 0, closed = false, place = "" } = m;
  if (opens || closes || closed || place) s.blocks[block] = { opens, closes, closed, place };
  else delete s.blocks[block];
}

function join(s, m) {
  const { name = "", groupings = [] } = m;
  if (name || groupings.length) s.joined[m.person] = { name, groupings };
  else delete s.joined[m.person];
}

function arrive(s, m) {
  delete s.people[m.person];
  if (!m.groupings?.length) return;
  const { name, groupings } = s.joined[m.person] || { name: "", groupings: [] };
  const more = m.groupings.filter((g) => !groupings.includes(g));
  s.joined[m.person] = { name, groupings: [...groupings, ...more] };
}

const opened = ({ without, only, rank }) =>
  ({ status: "open", block: "", started: 0, finished: 0, without, only, rank });

function grouping(s, m) {
  const block = m.block || "";
  let p = { ...(s.groupings[m.grouping] || opened({ without: [], only: "", rank: "" })) };
  switch (m.kind) {
    case "started":
      if (p.status === "done") break; // it has to be put back before it is taken again
      release(s, block);
      p = { ...p, status: "current", block, started: m.at };
      s.frames[block] = { grouping: m.grouping, at: m.at };
      break;
    case "taken":
      if (p.status === "done") break; // two phones ticked it: the first counts
      if (p.status !== "current") {
        release(s, block);
        p = { ...p, block, started: 0 };
      }
      p = { ...p, status: "done", finished: m.at };
      s.frames[p.block] = { grouping: m.grouping, at: m.at };
      s.slots.push({ grouping: m.grouping, block: p.block, started: p.started, finished: m.at });
      break;
    case "put_back": case "skipped": case "left_out":
      s.slots = s.slots.filter((x) => x.grouping !== m.grouping);
      p = { ...opened(p), status: { put_back: "open", skipped: "later", left_out: "left_out" }[m.kind] };
      break;
    case "without":
      p.without = m.people || [];
      break;
    case "changed": // where it is to be taken and how much it is wanted, if not as the list has it
      Object.assign(p, { only: block, rank: m.priority || "" });
      break;
  }
  s.groupings[m.grouping] = p;
}

// What is current in a block is open again when something else is called there.
function release(s, block) {
  for (const [id, p] of Object.entries(s.groupings)) {
    if (p.status === "current" && p.block === block) s.groupings[id] = opened(p);
  }
}
