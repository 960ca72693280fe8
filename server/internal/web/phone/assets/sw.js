"use strict";
// Keeps the page on the device, so that it opens without signal. What was ticked is not its business:
// the page keeps that by itself.

const cacheName = "day-@version@";
const files = ["@files@"];
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
      if (name.startsWith("day-") && name !== cacheName) await caches.delete(name);
    }
    await self.clients.claim();
  })());
});

// The device first: a signal that comes and goes is worse than none.
self.addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== "GET" || url.origin !== self.location.origin || !url.pathname.startsWith(scope)) return;
  const name = url.pathname.slice(scope.length);
  if (!files.includes(name)) return; // the run itself is never kept here
  e.respondWith((async () => (await caches.match("./" + name, { cacheName })) || fetch(e.request))());
});
