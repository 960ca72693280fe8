"use strict";
// Comfort only: every page works without this.

// What the page says once it has loaded is told again, because readers of the screen pass over
// what stands there from the start.
const said = document.querySelector("[role=alert], .said, .notice");
const live = document.getElementById("live");
if (said && live) setTimeout(() => { live.textContent = said.textContent; }, 100);

const form = document.getElementById("work");
let sent = false;

document.addEventListener("submit", (e) => {
  const button = e.submitter;
  const elsewhere = button && (button.formTarget === "_blank" || button.getAttribute("formaction") === "/save");
  sent = true;
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
addEventListener("pageshow", (e) => { if (e.persisted) { sent = false; } });

// The server keeps nothing, so leaving loses what is here.
addEventListener("beforeunload", (e) => {
  if (form && !sent) e.preventDefault();
});

// A field that is spoken of inside something folded up is unfolded.
document.addEventListener("click", (e) => {
  const link = e.target.closest("a[href^='#']");
  const field = link && document.getElementById(decodeURIComponent(link.hash.slice(1)));
  if (!field) return;
  for (let d = field.closest("details"); d; d = d.parentElement.closest("details")) d.open = true;
  e.preventDefault();
  field.focus();
  field.scrollIntoView({ block: "center" });
});
