// Keeps all record pages on the phone, so that they open without a network. What the host has is taken first, for it
// may be newer; what is kept answers where there is no network or it is slow.
"use strict";
const VERSION = "@VERSION@";
const FILES = [@FILES@];
const SLOW = 3000; // milliseconds
const OURS = `shopdocs records ${registration.scope} `;
const fresh = (name) => new Request(name, { cache: "reload" });

addEventListener("install", (event) => {
  skipWaiting();
  event.waitUntil(caches.open(OURS + VERSION).then((kept) => kept.addAll(FILES.map(fresh))));
});

addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith(OURS) && name !== OURS + VERSION) await caches.delete(name);
    }
    await clients.claim();
  })());
});

const answer = async (request) => {
  const name = request.url.split(/[?#]/)[0];
  const kept = await (await caches.open(OURS + VERSION)).match(name.endsWith("/") ? `${name}index.html` : name);
  if (!kept) return fetch(request);
  const late = new Promise((done) => { setTimeout(() => done(kept.clone()), SLOW); });
  return Promise.race([fetch(request).then((found) => (found.ok ? found : kept), () => kept), late]);
};

addEventListener("fetch", (event) => {
  if (event.request.method === "GET" && event.request.url.startsWith(registration.scope)) {
    event.respondWith(answer(event.request));
  }
});
