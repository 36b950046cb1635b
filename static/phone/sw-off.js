// Served in place of the worker that keeps the pages, where the office has switched that off: takes every cache and
// itself away. What was typed on the phone lies in its own store, which no worker touches.

self.addEventListener("install", () => self.skipWaiting());

self.addEventListener("activate", (event) => {
  event.waitUntil(
    (async () => {
      await Promise.all((await caches.keys()).map((name) => caches.delete(name)));
      await self.registration.unregister();
    })(),
  );
});

self.addEventListener("message", (event) => {
  if (event.data === "which build") event.ports[0]?.postMessage({ build: KEPT.build, beside: [] });
});
