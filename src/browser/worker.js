// The offline worker. The build fills in the list of files and its digest; the digest names the cache, so another
// build has another cache and an old one is never half replaced.
//
// Nothing is cached at run time, nothing takes over unasked, and only this page's own addresses are answered.

const DIGEST = "{{digest}}";
const FILES = ["{{files}}"];

const KNOWN = new Set([...FILES, "./index.html"].map((file) => new URL(file, self.registration.scope).pathname));

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

// A browser short of room may clear the cache and leave the worker: it is filled again, where the page's address still
// holds this build.
async function refill() {
  const cache = await caches.open(CACHE);
  if ((await cache.keys()).length === FILES.length) return;
  const index = await (await fetch("./", { cache: "reload" })).text();
  const named = FILES.filter((file) => /\/(start|page)\./.test(file)); // all the others follow from these
  if (named.every((file) => index.includes(file.slice(2)))) await install();
}

async function answer(request) {
  const cache = await caches.open(CACHE);
  const page = request.mode === "navigate" && !new URL(request.url).pathname.endsWith(".txt");
  const wanted = page ? "./" : request;
  return (await cache.match(wanted, { ignoreVary: true })) ?? fetch(request);
}

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
});
self.addEventListener("fetch", (event) => {
  const { origin, pathname } = new URL(event.request.url);
  const own = origin === self.location.origin && KNOWN.has(pathname);
  if (!own || event.request.method !== "GET") return;
  event.respondWith(answer(event.request));
  // Offline: at another visit.
  if (event.request.mode === "navigate") event.waitUntil(refill().catch(() => {}));
});
