"use strict";
// Keeps the page on the device, so that it opens without signal. What was ticked is not its business:
// the page keeps that by itself.

const cacheName = "day-@version@", coreName = "core-@core@";
const files = ["@files@"], later = ["@later@"]; // the latter when a phone asks for them
const scope = new URL("./", self.location).pathname;

self.addEventListener("install", (e) => {
  e.waitUntil((async () => {
    const cache = await caches.open(cacheName);
    await cache.addAll(files.map((name) => new Request("./" + name, { cache: "reload" })));
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (e) => {
  e.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (/^(day|core)-/.test(name) && ![cacheName, coreName].includes(name)) await caches.delete(name);
    }
    await self.clients.claim();
  })());
});

// The device first: a signal that comes and goes is worse than none.
self.addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== "GET" || url.origin !== self.location.origin || !url.pathname.startsWith(scope)) return;
  const name = url.pathname.slice(scope.length);
  if (later.includes(name)) e.respondWith(once(name));
  if (!files.includes(name)) return; // the run itself is never kept here
  e.respondWith((async () => (await caches.match("./" + name, { cacheName })) || fetch(e.request))());
});

// once fetches a file for good.
async function once(name) {
  const cache = await caches.open(coreName), kept = await cache.match("./" + name);
  if (kept) return kept;
  const fresh = await fetch("./" + name);
  if (fresh.ok) await cache.put("./" + name, fresh.clone()).catch(() => {}); // a device may have no room
  return fresh;
}
