// Answers a page that cannot be reached with one public page: the emergency number, and what is kept on this phone.
// It keeps that page and its files and nothing else, never a page about a person. The desk adds the addresses above.
const { version, page, files } = self.OFFLINE;
const NAME = "foothill-offline-";
const KEPT = NAME + version;

// Asked for as nobody, so that what is kept is about nobody.
function asNobody(address) {
  return new Request(address, { cache: "reload", credentials: "omit" });
}

async function keep(...addresses) {
  const kept = await caches.open(KEPT);
  await kept.addAll(addresses.map(asNobody));
}

async function forgetOlder() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(NAME) && name !== KEPT).map((name) => caches.delete(name)));
  await self.clients.claim();
}

async function fromNetworkElse(request, address) {
  try {
    return await fetch(request);
  } catch {
    return (await caches.match(address, { cacheName: KEPT })) ?? Response.error();
  }
}

self.addEventListener("install", (event) => {
  self.skipWaiting();
  event.waitUntil(keep(page, ...files));
});
self.addEventListener("activate", (event) => event.waitUntil(forgetOlder()));
// A page that was reached says so; the number on the kept page may have changed since.
self.addEventListener("message", (event) => {
  if (event.data === "reached") event.waitUntil(keep(page).catch(() => {}));
});
self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname, search } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin) return;
  if (request.mode === "navigate") event.respondWith(fromNetworkElse(request, page));
  else if (files.includes(pathname + search)) event.respondWith(fromNetworkElse(request, pathname + search));
});
