// Keeps the page of one shoot on the phone. KEPT is put before this by the server: shoot, digest, page, files, also.
const CACHE = `set-${KEPT.shoot}-${KEPT.digest}`, PATIENCE = 3000;
const PAGES = [KEPT.page, ...KEPT.also];

async function fetchInto(cache, address) {
  const answer = await fetch(address, { credentials: "same-origin" });
  if (!answer.ok || answer.redirected) throw new Error(`${address} answers ${answer.status}`);   // the sign-in page is not the set
  await cache.put(address, answer);
}

const keepPages = async cache => {
  await fetchInto(cache, KEPT.page);
  await Promise.allSettled(KEPT.also.map(address => fetchInto(cache, address)));
};

self.addEventListener("install", event => event.waitUntil((async () => {
  const cache = await caches.open(CACHE);
  await Promise.all(KEPT.files.map(address => fetchInto(cache, address)));
  await keepPages(cache);
  await self.skipWaiting();
})()));

self.addEventListener("activate", event => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith(`set-${KEPT.shoot}-`) && name !== CACHE) await caches.delete(name);
  await self.clients.claim();
})()));

// The list has grown: the kept copy is taken again.
self.addEventListener("message", event => {
  if (event.data === "keep") event.waitUntil(caches.open(CACHE).then(keepPages).catch(() => {}));
});

self.addEventListener("fetch", event => {
  const { pathname, origin } = new URL(event.request.url);
  if (event.request.method !== "GET" || origin !== location.origin) return;
  if (event.request.mode === "navigate") {
    if (PAGES.includes(pathname)) event.respondWith(newest(event.request, pathname));
  } else if (KEPT.files.includes(pathname)) {
    event.respondWith(caches.match(pathname, { cacheName: CACHE }).then(kept => kept ?? fetch(event.request)));
  }
});

// The network first, read to its end within three seconds; else the copy on the phone.
async function newest(request, address) {
  const cache = await caches.open(CACHE);
  try {
    const answer = await fetch(request, { signal: AbortSignal.timeout(PATIENCE) });
    if (answer.type === "opaqueredirect") return answer;
    if (answer.status >= 500) return await cache.match(address) ?? answer;
    const whole = new Response(await answer.blob(), { status: answer.status, statusText: answer.statusText, headers: answer.headers });
    if (answer.ok && !answer.redirected) await cache.put(address, whole.clone());
    return whole;
  } catch {
    return await cache.match(address) ?? Response.error();
  }
}
