// The page of the day: what it begins with. state.js holds what is known, contact.js takes marks and keeps in
// touch, and what is seen is made by the views.

import { givenLanguage } from "./secret.js";
import { paint, opensAlone, shownBy } from "./state.js";
import { recall, start } from "./contact.js";
import { afterTouch } from "./dom.js";
import { openStore, setting, keepSetting } from "./keep.js";
import { loadCore, consider } from "./core.js";
import { loadWords } from "./words.js";
import { show, announce } from "./views.js";

// keepPage has the page open without signal, where the browser allows it.
async function keepPage() {
  if (!isSecureContext || !navigator.serviceWorker) return;
  await navigator.serviceWorker.register("./sw.js", { scope: "./" });
  await navigator.serviceWorker.ready;
  opensAlone();
  paint();
  if (navigator.serviceWorker.controller) return;
  await new Promise((r) => { navigator.serviceWorker.addEventListener("controllerchange", r, { once: true }); });
}

async function begin() {
  await openStore();
  const chosen = await setting("language").catch(() => "");
  if (!chosen && givenLanguage) await keepSetting("language", givenLanguage).catch(() => {});
  await loadWords(chosen || givenLanguage);
  await recall();
  shownBy((m) => { show(m); consider(m); });
  paint();
  afterTouch(paint);
  setInterval(paint, 5000);
  addEventListener("hashchange", () => location.reload());
  keepPage().catch(() => {}).then(loadCore); // what is loaded later is kept too
  navigator.storage?.persist?.().catch(() => {});
  await start();
}

begin().catch((e) => { announce(String(e)); throw e; });
