// Keeps the desk's files, so that it opens without a connection. The build fills in the version and the list of files.
// A new version waits until the last tab of the old one is closed: page and engine always come from the same build.

const CACHE = "velatura-desk-" + "VERSION";
const FILES = ["FILES"];

self.addEventListener("install", (event) => {
  // "reload" goes past the browser's own cache, which may still have files of the last version.
  const requests = FILES.map((file) => new Request(`./${file}`, { cache: "reload" }));
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(requests)));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches.keys().then((names) =>
      Promise.all(names.filter((name) => name.startsWith("velatura-desk-") && name !== CACHE).map((name) => caches.delete(name))),
    ).then(() => self.clients.claim()), // the first page, too, gets what it has not loaded yet from the cache
  );
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  const home = new URL("./", self.registration.scope);
  const file = url.pathname === home.pathname ? "./index.html" : request;
  event.respondWith(
    caches.open(CACHE).then(async (cache) => (await cache.match(file, { ignoreSearch: true })) ?? fetch(request)),
  );
});
