// The words of the page in the language of the device: one catalogue for sheets and pages, which the
// server hands out as data.

let all = null, here = null, rules = null, zone = undefined;

export async function loadWords(language) {
  all = await (await fetch("./words.json")).json();
  use(language);
}

export const languages = () => Object.entries(all).map(([tag, c]) => ({ tag, name: c.name }));
export const language = () => here.tag;

// use takes the language asked for, or the first of the device's that there is, or English.
export function use(language) {
  const wanted = [language, ...navigator.languages].filter(Boolean).map((t) => t.toLowerCase().split("-")[0]);
  const tag = wanted.find((t) => all[t]) || "en";
  here = { tag, ...all[tag] };
  rules = new Intl.PluralRules(here.plurals);
  document.documentElement.lang = tag;
  document.documentElement.dir = here.direction;
}

export function useZone(name) {
  zone = undefined;
  try {
    if (name) new Intl.DateTimeFormat("en", { timeZone: name });
    zone = name || "UTC";
  } catch { zone = "UTC"; }
}

const digits = (s) => (here.digits ? s.replace(/[0-9]/g, (d) => [...here.digits][d]) : s);

// say fills a text. The first argument chooses the plural form when it is a number; names are isolated,
// so that those written from right to left do not turn the sentence over.
export function say(key, ...args) {
  const text = here.texts[key];
  if (!text) return key;
  const form = typeof args[0] === "number" ? text.forms?.[rules.select(args[0])] : undefined;
  return (form ?? text.other).replace(/%\[(\d)\]s|%%/g, (whole, n) => {
    if (!n) return "%";
    const a = args[n - 1];
    return typeof a === "number" ? number(a) : "\u2068" + a + "\u2069";
  });
}

const verb = /%(?:\[(\d)\])?[sd]|%%/g;

// sentence puts into words what a plan says: {Key, Args}, as package wording has it.
export function sentence(m) {
  const text = here.messages[m?.Key];
  if (!m?.Key || (!text && /[a-z]/i.test(m.Key.replace(verb, "")))) return "";
  const args = m.Args || [], counted = args.find((a) => a.Kind === 3);
  const form = counted && text?.forms?.[rules.select(counted.Number || 0)];
  let next = 0;
  return (form ?? text?.other ?? m.Key).replace(verb, (v, n) => {
    if (v === "%%") return "%";
    const a = args[n ? n - 1 : next++];
    return a ? argument(a) : v;
  });
}

// argument is one of those, by its kind: text, "text" and “text”, a number, a time, a message, and lists.
function argument({ Kind = 0, Text = "", Number = 0, Key, List = [] }) {
  const marks = [...(here.quotes || ["", '""', "“”"][Kind] || "")], half = marks.length / 2;
  switch (Kind) {
    case 0: return "\u2068" + Text + "\u2069";
    case 1: case 2: return marks.slice(0, half).join("") + "\u2068" + Text + "\u2069" + marks.slice(half).join("");
    case 3: return number(Number);
    case 4: return digits(Text);
    case 5: return sentence({ Key, Args: List });
  }
  const by = (key) => here.messages[key].other, comma = by(Kind === 9 ? "sheet.semicolon" : "sheet.listSeparator");
  const last = { 7: by("sheet.and"), 8: by("sheet.or") }[Kind] ?? comma;
  return List.map((a, i) => (!i ? "" : i < List.length - 1 ? comma : last) + argument(a)).join("");
}

export const number = (n) => digits(String(n));

const inZone = (ms) => new Intl.DateTimeFormat("en-GB",
  { hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone: zone }).format(ms);

export const clock = (ms) => (ms ? digits(inZone(ms)) : "");

// dayOf is the date of a moment at the event, as files write it, and dateOf that date in words.
export const dayOf = (ms) => new Intl.DateTimeFormat("sv-SE", { timeZone: zone }).format(ms);
export const dateOf = (day) =>
  new Intl.DateTimeFormat(here.tag, { dateStyle: "long", timeZone: "UTC" }).format(new Date(day));

// minuteOfDay is where on the clock of the event a moment is.
export function minuteOfDay(ms) {
  const [h, m] = inZone(ms).split(":");
  return Number(h) * 60 + Number(m);
}

// length writes seconds to the nearest half minute, as sheets do.
export function length(seconds) {
  const half = Math.round(Math.max(0, seconds) / 30);
  if (half <= 1) return say("half");
  return say("minutes", number(Math.floor(half / 2)) + (half % 2 ? here.decimal + number(5) : ""));
}

export const list = (names) => names.map((n) => "\u2068" + n + "\u2069").join(say("comma"));
