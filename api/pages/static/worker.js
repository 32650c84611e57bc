// Keeps the pages of a trip, their looks and drawings, for when the network is gone. The network
// comes first for pages, so nobody looks at an old one while there is a new one.
"use strict";

const KEPT = "holdall-kept-1";
const isDrawing = (url) => /^\/api\/v1\/plans\/[^/]+\/cases\/[^/]+\/drawing\.svg$/.test(url.pathname);
const isPage = (url) => /^\/(trips\/.*)?$/.test(url.pathname);

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

async function fresh(request) {
  const cache = await caches.open(KEPT);
  try {
    const answer = await fetch(request);
    if (answer.ok && !answer.redirected) await cache.put(request, answer.clone());
    return answer;
  } catch (gone) {
    const kept = await cache.match(request);
    if (kept) return kept;
    throw gone;
  }
}

async function kept(request) {
  const cache = await caches.open(KEPT);
  return (await cache.match(request)) || fresh(request);
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  if (url.pathname.startsWith("/static/") || isDrawing(url)) event.respondWith(kept(event.request));
  else if (isPage(url)) event.respondWith(fresh(event.request));
});
