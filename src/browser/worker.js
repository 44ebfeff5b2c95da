// The offline worker. The build fills in the list of files and its digest; the digest names the cache, so another
// build has another cache and an old one is never half replaced.
//
// Nothing is cached at run time, nothing takes over unasked, and only this page's own addresses are answered.

const DIGEST = "{{digest}}";
const FILES = ["{{files}}"];

const PREFIX = `pourcard ${self.registration.scope} `;
const CACHE = PREFIX + DIGEST;

// All or nothing, and past the browser's own cache.
async function install() {
  const cache = await caches.open(CACHE);
  await cache.addAll(FILES.map((file) => new Request(file, { cache: "reload" })));
}

async function activate() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(PREFIX) && name !== CACHE).map((name) => caches.delete(name)));
  await self.clients.claim();
}

async function answer(request) {
  const cache = await caches.open(CACHE);
  const wanted = request.mode === "navigate" ? "./" : request;
  return (await cache.match(wanted, { ignoreVary: true })) ?? fetch(request);
}

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
});
self.addEventListener("fetch", (event) => {
  const { method, url } = event.request;
  if (method === "GET" && new URL(url).origin === self.location.origin) event.respondWith(answer(event.request));
});
