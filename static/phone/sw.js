// Keeps one build of the shell on the phone, and gives it without a connection. KEPT is written above by the server:
// the build's name and its files. Answers of the server that concern somebody are never kept.

const SHELF = `shell-${KEPT.build}`;
const AT = `/phone/${KEPT.build}/`;

self.addEventListener("install", (event) => {
  event.waitUntil(
    (async () => {
      const shelf = await caches.open(SHELF);
      await shelf.addAll(KEPT.files.map((path) => new Request(AT + path, { cache: "no-cache" })));
    })(),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    (async () => {
      const names = await caches.keys();
      await Promise.all(names.filter((name) => name.startsWith("shell-") && name !== SHELF).map((name) => caches.delete(name)));
      await self.clients.claim();
    })(),
  );
});

self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (request.mode === "navigate" && url.pathname === "/phone/") {
    event.respondWith(kept(`${AT}shell.html`, request));
  } else if (url.pathname.startsWith(AT)) {
    event.respondWith(kept(request.url, request));
  }
});

async function kept(address, request) {
  return (await caches.match(address)) ?? fetch(request);
}
