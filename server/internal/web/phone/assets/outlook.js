// What is left of the day. While the plan of the server heeds all marks it is shown as it is. When there
// are marks that it does not heed yet, because there is no signal or it is still being made, the order
// is kept and only what the marks say is changed in it: what is ticked goes, groupings of people who are
// missing wait, what is put off goes to the end. Finding a better order is the server's.

const standing = 10 * 60_000; // as long as people stay in the frame when nothing else is called

// left returns { blocks, waiting, done, people } for a model:
//   photographs  Map of id -> {id, title, members, must}
//   blocks       [{id, title, closes}]
//   plan         that of the server, or null
//   state        what fold returned
//   fresh        whether the plan heeds all marks
//   now          milliseconds
export function left(model) {
  const { plan, state, now } = model;
  const orders = plan ? plan.blocks.map((b) => ({ block: b.block, entries: b.entries })) : [];
  const done = (id) => state.groupings[id]?.status === "done", over = (id) => settled(state, id);
  const owed = (plan ? plan.owed : []).filter((o) => !over(o.id));
  const blocks = model.fresh ? orders.map((o) => ({ block: o.block, entries: o.entries.map((e) => entry(model, e)) })) : patched(model, orders, owed);
  const planned = new Set(blocks.flatMap((b) => b.entries.map((e) => e.id)));
  const waiting = [];
  for (const id of everyID(model, owed)) {
    if (over(id) || planned.has(id)) continue;
    const o = owed.find((x) => x.id === id), lost = away(model, id), all = members(model, id);
    const goes = (model.fresh ? o?.missing || [] : []).filter((p) => all.includes(p) && !lost.includes(p)); // before it can be
    const missing = [...lost, ...goes];
    const left = !missing.length && !!o && !o.planned; // the plan has no place for it
    waiting.push({ id, missing, left, why: missing.length ? null : o?.why, needed: all, offer: missing.length > 0 && missing.length < all.length });
  }
  return {
    blocks: blocks.map((b) => ({ ...b, ...finish(model, b), entries: behind(b.entries, now) })).sort((a, b) => place(model, a) - place(model, b)),
    waiting,
    done: state.slots.map((s) => s.grouping).filter(done),
    leftOut: [...model.photographs.keys()].filter((id) => state.groupings[id]?.status === "left_out"),
    count: { done: Object.values(state.groupings).filter((g) => g.status === "done").length, owed: planned.size + waiting.length },
  };
}

// behind moves what should have begun by now to now, and all that follows it.
function behind(entries, now) {
  const next = entries.find((e) => !e.current), late = next?.at ? Math.max(0, now - next.at) : 0;
  return late ? entries.map((e) => (e.current || !e.at ? e : { ...e, at: e.at + late })) : entries;
}

// place is where a block stands on all phones, whatever is taken where.
const place = (model, b) => model.blocks.findIndex((x) => x.id === b.block);

// settled says that nothing is to be done about a photograph any more: it is taken, or left out.
const settled = (state, id) => ["done", "left_out"].includes(state.groupings[id]?.status);

// everyID lists what there is, in the order of the list.
function everyID(model, owed) {
  const ids = owed.map((o) => o.id);
  for (const id of model.photographs.keys()) if (!ids.includes(id)) ids.push(id);
  return ids;
}

// members are the people of a photograph without those it is taken without.
export function members(model, id) {
  const without = model.state.groupings[id]?.without || [];
  return (model.photographs.get(id)?.members || []).filter((p) => !without.includes(p));
}

// away lists those of a photograph who are not there.
export const away = (model, id) => members(model, id).filter((p) => isAway(model, p));

// isAway says that somebody is not there at a time.
export function isAway(model, p, at = model.now) {
  const w = model.state.people[p];
  if (w?.presence === "leaving") return w.until <= at;
  return Boolean(w) && (w.presence !== "coming" || !w.until || w.until > at);
}

// isNeeded says that somebody is in a photograph that is still to be taken.
export const isNeeded = (model, p) => model.left.waiting.some((w) => members(model, w.id).includes(p))
  || model.left.blocks.some((b) => b.entries.some((e) => members(model, e.id).includes(p)));

// dueElsewhere lists who of a photo is in the frame of another block, or is taken there first, and until when: until then
// nobody calls them here.
export function dueElsewhere(model, block, e) {
  const rank = (id) => model.blocks.findIndex((x) => x.id === id);
  const earlier = (x, b) => (x.at || 0) < (e.at || 0) || ((x.at || 0) === (e.at || 0) && rank(b) < rank(block));
  return model.left.blocks.flatMap((b) => {
    const first = (x) => x.current || (!e.current && earlier(x, b.block));
    const those = b.block === block ? [] : b.entries.filter((x) => x.id !== e.id && first(x));
    const who = members(model, e.id).filter((p) => those.some((x) => members(model, x.id).includes(p)));
    const theirs = those.filter((x) => members(model, x.id).some((p) => who.includes(p)));
    if (!who.length) return [];
    const until = theirs.every((x) => x.current) ? 0 : Math.max(...theirs.map((x) => over(x, model.now)));
    return [{ block: b.block, who, until }];
  });
}

// takeIn are the marks that take somebody who is here after all into the photos that were to be taken without them.
export const takeIn = (model, id) => Object.entries(model.state.groupings)
  .filter(([g, x]) => x.without.includes(id) && !settled(model.state, g))
  .map(([grouping, x]) => ({ kind: "without", grouping, people: x.without.filter((p) => p !== id) }));

// stepOut lists who leaves the frame of a block, as long as they can still be thought to stand there.
export function stepOut(model, { block, entries: [first] }) {
  const frame = model.state.frames[block];
  return first && frame && model.now - frame.at < standing ? first.out : [];
}

// here says that a photograph concerns a phone: it may be taken where that stands, or where else its photographer goes.
export function here(model, id) {
  const may = model.photographs.get(id)?.blocks || [], crew = (b) => model.blocks.find((x) => x.id === b)?.crew;
  return !may.length || may.some((b) => crew(b) === crew(model.block));
}

// gone lists those that a photo waits for in vain: who has left, and who leaves before the others come.
export function gone(model, w) {
  const people = model.state.people, lasts = (id) => people[id]?.until || Infinity;
  const comes = Math.max(...w.missing.map((id) => (people[id]?.presence === "coming" ? lasts(id) : 0)), model.now);
  const never = w.missing.every((id) => ["left", "leaving"].includes(people[id]?.presence));
  return w.missing.filter((id) => {
    const leaves = people[id]?.presence === "leaving";
    return people[id]?.presence === "left" || leaves && (never || lasts(id) <= comes);
  });
}

// due lists who was to be here by now, or to have left, is needed, and of whom nobody has said what is so: neither by a mark
// nor by a photo since.
export function due(model) {
  const { people, slots } = model.state, { blocks, waiting } = model.left;
  const mine = [...blocks.flatMap((b) => b.entries), ...waiting].filter((x) => here(model, x.id));
  const of = ({ id, leaves }) => {
    const said = ["coming", "leaving"].includes(people[id]?.presence) ? people[id] : null;
    const at = said ? said.until : people[id] ? 0 : leaves;
    const since = slots.some((s) => s.finished > at && members(model, s.grouping).includes(id));
    const open = at && at <= model.now && !since && mine.some((x) => members(model, x.id).includes(id));
    return open ? [{ id, at, leaves: people[id]?.presence !== "coming" }] : [];
  };
  return model.people.flatMap(of);
}

// meet says that those who are missing are not kept apart by their times alone: nobody comes after another has to leave.
export const meet = (model, w) => !w.missing.some((id) => model.state.people[id]?.presence === "coming")
  || !gone(model, w).some((id) => model.state.people[id]?.presence === "leaving");

// free lists who may go: they have just stood in the frame of a block, and neither they nor a child whom they hold is in anything
// that is called or still to come.
export function free(model, { block, entries: [first] }) {
  const shut = (b) => model.state.blocks[b]?.closed, all = model.blocks.map((b) => b.id);
  const may = ({ id }) => {
    const blocks = model.photographs.get(id)?.blocks || [];
    return !(blocks.length ? blocks : all).every(shut);
  };
  const { blocks, waiting } = model.left, wanted = new Set(waiting.filter(may).flatMap((w) => members(model, w.id)));
  for (const e of blocks.flatMap((b) => b.entries)) {
    for (const p of [...members(model, e.id), ...e.near || [], ...e.released]) wanted.add(p);
  }
  for (const { id, by } of model.people) if (wanted.has(id)) for (const p of by || []) wanted.add(p);
  const out = first ? stepOut(model, { block, entries: [first] }) : frameBefore(model, block);
  const gone = (p) => model.state.people[p] && !["leaving", "coming"].includes(model.state.people[p].presence);
  return out.filter((p) => !wanted.has(p) && !gone(p));
}

function entry(model, e) {
  const g = model.state.groupings[e.id];
  return { ...e, current: g?.status === "current", later: g?.status === "later", missing: away(model, e.id) };
}

function patched(model, orders, owed) {
  const { state, now } = model;
  const known = new Map(orders.flatMap((o) => o.entries.map((e) => [e.id, e])));
  const status = (id) => state.groupings[id]?.status || "open";
  const fits = (id) => model.photographs.has(id) && !settled(state, id) && (status(id) === "current" || away(model, id).length === 0) && members(model, id).length > 0;
  const only = (id) => state.groupings[id]?.only, at = (block) => (id) => (only(id) || block) === block;
  const lists = new Map(orders.map((o) => [o.block, o.entries.map((e) => e.id).filter(fits).filter(at(o.block))]));
  const home = (id) => only(id) || (state.groupings[id]?.block && lists.has(state.groupings[id].block) ? state.groupings[id].block : model.block ?? model.blocks[0]?.id ?? "");
  const listed = new Set([...lists.values()].flat());
  for (const id of everyID(model, owed)) {
    if (listed.has(id) || !fits(id)) continue;
    const o = owed.find((x) => x.id === id);
    const leftOut = o && !o.planned && !(o.missing || []).length; // for want of time: the server's to judge
    if (leftOut && status(id) === "open") continue;
    const block = home(id);
    lists.set(block, [...(lists.get(block) || []), id]);
  }
  const back = (id) => status(id) === "open" && owed.some((o) => o.id === id && o.later); // it is not put off any more
  const rank = (id) => (status(id) === "current" ? 0 : status(id) === "later" ? 3 : back(id) ? 1 : 2);
  const out = [];
  for (const [block, ids] of lists) {
    ids.sort((a, b) => rank(a) - rank(b)); // a stable sort: the order is kept otherwise
    out.push({ block, entries: chain(model, block, ids, known) });
  }
  // Nobody is free who is still wanted, in whatever block: what counts is which is over last.
  const last = new Map();
  const all = out.flatMap((b) => b.entries);
  const wanted = (e) => [...members(model, e.id), ...e.near];
  for (const e of all) for (const p of wanted(e)) if (!last.has(p) || over(e, now) >= over(last.get(p), now)) last.set(p, e);
  const waits = new Set([...model.photographs.keys()].filter((id) => !settled(state, id) && !all.some((e) => e.id === id)).flatMap((id) => members(model, id)));
  for (const e of all) e.released = wanted(e).filter((p) => last.get(p) === e && !waits.has(p));
  return out;
}

// chain says who walks in and out from one to the next, beginning with who stands in the frame.
function chain(model, block, ids, known) {
  const { state, now } = model;
  let frame = frameBefore(model, block, ids[0]);
  const first = known.get(ids[0]);
  let at = Math.max(now, first && !state.frames[block] ? first.at || 0 : 0);
  return ids.map((id, i) => {
    const all = members(model, id), next = ids[i + 1] ? members(model, ids[i + 1]) : [];
    const e = entry(model, {
      id, at, length: known.get(id)?.length || 60 + 3 * all.length, frames: known.get(id)?.frames || 0,
      in: all.filter((p) => !frame.includes(p)), out: frame.filter((p) => !all.includes(p)), stay: all.filter((p) => frame.includes(p)),
      released: [], standby: next.filter((p) => !all.includes(p)), near: known.get(id)?.near || [],
    });
    if (e.current) {
      e.at = state.groupings[id].started;
      at = over(e, now);
    } else {
      at += e.length * 1000;
    }
    frame = all;
    return e;
  });
}

// over says when an entry is: what is being taken is not over before now.
const over = (e, now) => Math.max(e.at + e.length * 1000, e.current ? now : 0);

function frameBefore(model, block, first) {
  const { state, now } = model;
  const frame = state.frames[block];
  if (!frame) return [];
  if (first && state.groupings[first]?.status === "current") {
    const before = state.slots.filter((s) => s.block === block).at(-1);
    return before && state.groupings[first].started - before.finished < standing ? members(model, before.grouping) : [];
  }
  return now - frame.at < standing ? members(model, frame.grouping) : [];
}

// finish says when a block ends, and how far that is over its close. Where people dawdle, every minute
// moves it.
function finish(model, b) {
  const { plan, state, now } = model;
  const f = plan?.forecasts.find((x) => x.block === b.block);
  const closes = f?.closes || 0, first = b.entries[0], last = b.entries.at(-1);
  let end = 0;
  if (model.fresh && f) {
    const begun = first && (first.current || state.frames[b.block]); // whoever is called walks in, without a press
    const due = first ? (first.at || plan.made) + (begun ? first.length * 1000 : 0) : now;
    end = f.finish + Math.max(0, now - due);
  } else if (last) {
    end = over(last, now);
  } else {
    return { finish: 0, closes, over: 0, drop: f?.drop || [] };
  }
  const extra = f && closes ? f.over * 1000 - (f.finish - closes) : 0;
  return { finish: end, safe: f && model.fresh ? f.safe + (end - f.finish) : 0, closes, over: closes ? end + extra - closes : 0, drop: (f?.drop || []).filter((id) => !settled(model.state, id)) };
}
