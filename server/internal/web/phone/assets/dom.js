// Builds elements. Nothing is ever read as HTML: names and titles are text.

export function h(tag, props, ...children) {
  const e = document.createElement(tag);
  for (const [k, v] of Object.entries(props || {})) {
    if (v === undefined || v === null || v === false) continue;
    if (k === "on") for (const [name, f] of Object.entries(v)) e.addEventListener(name, f);
    else if (k === "class") e.className = v;
    else if (k in e && typeof v !== "string") e[k] = v;
    else e.setAttribute(k, v === true ? "" : v);
  }
  e.append(...children.flat(9).filter((c) => c !== null && c !== undefined && c !== false && c !== ""));
  return e;
}

export const button = (text, press, props) => h("button", { type: "button", ...props, on: { click: press } }, text);

// What is under a finger stays until the finger has been lifted and the press has counted: what is put in
// anew in between would not be pressed, or something else would be in its place.
const longest = 3000; // ms; a finger whose lifting nobody heard of must not hold the page for ever
let touched = null, since = 0, late = false, lifted = 0, again = () => {};

addEventListener("pointerdown", (e) => { clearTimeout(lifted); touched = e.target; since = performance.now(); }, true);
for (const end of ["pointerup", "pointercancel"]) {
  addEventListener(end, () => {
    clearTimeout(lifted);
    lifted = setTimeout(() => {
      touched = null;
      if (late) again();
      late = false;
    }, 100);
  }, true);
}

// afterTouch says what to do when something was held back.
export function afterTouch(f) { again = f; }

// put replaces what is in an element when it has changed, and leaves the focus where it was: elements
// that stand for the same have the same data-key.
export function put(element, signature, make) {
  const text = JSON.stringify(signature);
  if (element.signature === text) return;
  if (touched && performance.now() - since < longest && element.contains(touched)) {
    late = true;
    return;
  }
  element.signature = text;
  const held = element.contains(document.activeElement) ? document.activeElement.dataset.key : undefined;
  element.replaceChildren(...[make()].flat(9).filter(Boolean));
  if (held === undefined) return;
  const same = [...element.querySelectorAll("[data-key]")].find((e) => e.dataset.key === held);
  same?.focus({ preventScroll: true });
}

// stale has the next put make what is in elements anew.
export function stale(...elements) {
  for (const e of elements) e.signature = undefined;
}

export const find = (id) => document.getElementById(id);

// Strings that contain what is searched for, whatever its accents and case.
export const plain = (s) => s.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
