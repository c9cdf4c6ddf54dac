// SPDX-License-Identifier: Apache-2.0
// Lets the page be opened while the engine is away: the page's own files, never an answer about a case. The newest page
// is asked for first; files under /assets/ carry the hash of their bytes in their names.
const kCache = "fairlead-page";
const kPatienceMs = 4000;

// A file and, of a script, the files that it fetches later: they stand in it by name.
async function keepFile(cache, file, seen) {
  if (seen.has(file)) return;
  seen.add(file);
  const reply = (await cache.match(file)) ?? (await fetch(file));
  if (!reply.ok) return;
  const text = file.endsWith(".js") ? await reply.clone().text() : "";
  await cache.put(file, reply);
  const named = [...text.matchAll(/[\w-]+-[\w-]{8}\.(?:js|css)/g)].map((found) => `/assets/${found[0]}`);
  await Promise.all(named.map((each) => keepFile(cache, each, seen)));
}

async function keepPage() {
  const cache = await caches.open(kCache);
  const page = await fetch("/", { cache: "no-cache" });
  if (!page.ok) return;
  const text = await page.clone().text();
  await cache.put("/", page);
  const seen = new Set();
  await Promise.all([...text.matchAll(/(?:src|href)="(\/[^"]+)"/g)].map((found) => keepFile(cache, found[1], seen)));
}

async function fromEngineFirst(request, name) {
  const cache = await caches.open(kCache);
  try {
    const reply = await fetch(request, { signal: AbortSignal.timeout(kPatienceMs) });
    if (reply.ok && !reply.redirected) await cache.put(name, reply.clone());
    return reply;
  } catch (fault) {
    const kept = await cache.match(name);
    if (kept) return kept;
    throw fault;
  }
}

async function fromStoreFirst(request) {
  const cache = await caches.open(kCache);
  const kept = await cache.match(request);
  if (kept) return kept;
  const reply = await fetch(request);
  if (reply.ok) await cache.put(request, reply.clone());
  return reply;
}

self.addEventListener("install", (event) => event.waitUntil(keepPage().then(() => self.skipWaiting())));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin) return;
  if (event.request.mode === "navigate") {
    if (url.pathname === "/" && url.search === "") event.respondWith(fromEngineFirst(event.request, "/"));
  } else if (url.pathname.startsWith("/assets/")) {
    event.respondWith(fromStoreFirst(event.request));
  } else if (url.pathname === "/api/log/grammar") { // how entries are written: the same for every case
    event.respondWith(fromEngineFirst(event.request, "/api/log/grammar"));
  }
});
