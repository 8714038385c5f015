// Over https: keeps the bench with its style and script on this phone, so that it opens out of reach of the computer.
"use strict";
const KEPT = "rakelight-1";
const PARTS = ["/static/page.css", "/static/page.js", "/static/mark.svg"];
const PATIENCE_MS = 6000;

self.addEventListener("install", (event) => event.waitUntil(
  caches.open(KEPT).then((kept) => kept.addAll(["/", ...PARTS])).then(() => self.skipWaiting())));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const { request } = event, at = new URL(request.url);
  if (request.method !== "GET" || at.origin !== location.origin) return;
  if (request.mode === "navigate" || PARTS.includes(at.pathname)) event.respondWith(answer(request, at));
});

async function answer(request, at) {
  const kept = await caches.open(KEPT);
  try {
    const found = await fetch(request, { signal: AbortSignal.timeout(PATIENCE_MS) });
    if (found.status === 403) await caches.delete(KEPT);  // let in no more: nothing stays on the phone
    else if (found.ok && !found.redirected && !at.search && (at.pathname === "/" || PARTS.includes(at.pathname))) await kept.put(at.pathname, found.clone());
    return found;
  } catch {
    const found = await kept.match(PARTS.includes(at.pathname) ? at.pathname : "/");
    if (!found || PARTS.includes(at.pathname)) return found || Response.error();
    const page = (await found.text()).replace("<body ", '<body data-away="yes" ');
    return new Response(page, { headers: found.headers });
  }
}
