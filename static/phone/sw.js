// Keeps one build of the shell on the phone, and gives it without a connection. KEPT is written above by the server:
// the build's name, its files with their SHA-256, the names of the caches that lie beside it, and what the engine is
// made of. Whatever else the server answers (who is signed in, jobs, verdicts, its own pages) goes past this worker,
// and is never kept.

const SHELF = `shell-${KEPT.build}`;
const AT = `/phone/${KEPT.build}/`;
const OF_A_BUILD = /^\/phone\/([0-9a-f]{16})\//;
const BESIDE = /^\/(?:fonts|phone\/(?:engine|rules|pages))\//;
const NO_PAGE = /^\/phone\/(?:api\/|engine\/|rules\/|pages\/|version\.json$|sw\.js$)/;
const WHOLE = "/phone/whole";
const PATIENCE_MS = 3000;

self.addEventListener("install", (event) => {
  event.waitUntil(keepAll());
});

// All files or none: a server that was replaced meanwhile, a cut connection or a network that answers for the server
// leaves nothing behind, and the browser asks again.
async function keepAll() {
  const shelf = await caches.open(SHELF);
  try {
    await Promise.all(Object.entries(KEPT.files).map(([path, sum]) => keepOne(shelf, AT + path, sum)));
    await keepEngine();
  } catch (fault) {
    const { active } = self.registration;
    if (!active || (await saysOf(active))?.build !== KEPT.build) await caches.delete(SHELF);
    throw fault;
  }
}

// A phone that judges by itself must do so in the newer build too, from its first moment: what of the engine is
// another one comes with the build. The first time the page fetches it, once its form can be used.
async function keepEngine() {
  if (!self.registration.active || !(await caches.keys()).some((name) => name.startsWith("engine-"))) return;
  for (const [name, files] of Object.entries(KEPT.engine)) {
    const shelf = await caches.open(name);
    if (await shelf.match(WHOLE)) continue;
    // A cut connection goes on where it was: what lies here was compared before.
    await Promise.all(Object.entries(files).map(async ([address, sum]) => (await shelf.match(address)) ?? keepOne(shelf, address, sum)));
    await shelf.put(WHOLE, new Response(""));
  }
}

async function keepOne(shelf, address, sum) {
  const answer = await fetch(address, { cache: "no-cache", credentials: "omit", redirect: "error" });
  if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
  const bytes = await answer.clone().arrayBuffer();
  const found = [...new Uint8Array(await crypto.subtle.digest("SHA-256", bytes))];
  if (found.map((byte) => byte.toString(16).padStart(2, "0")).join("") !== sum) throw new Error(`${address}: other bytes`);
  await shelf.put(address, answer);
}

self.addEventListener("activate", (event) => {
  event.waitUntil(self.clients.claim());
});

self.addEventListener("message", (event) => {
  if (event.data === "take over") event.waitUntil(self.skipWaiting());
  if (event.data === "which build") event.ports[0]?.postMessage({ build: KEPT.build, beside: KEPT.beside });
  if (event.data === "tidy") event.waitUntil(tidy());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  const [, build] = OF_A_BUILD.exec(url.pathname) ?? [];
  if (build) event.respondWith(kept(`shell-${build}`, url.pathname, request));
  else if (BESIDE.test(url.pathname)) event.respondWith(beside(url.pathname, request));
  else if (request.mode === "navigate" && isPage(url.pathname)) event.respondWith(kept(SHELF, `${AT}shell.html`, request));
});

function isPage(path) {
  return path === "/phone" || (path.startsWith("/phone/") && !NO_PAGE.test(path));
}

async function kept(shelf, address, request) {
  return (await caches.match(address, { cacheName: shelf })) ?? fetch(request);
}

// What lies beside counts only once the whole of it is there.
async function beside(address, request) {
  for (const name of await caches.keys()) {
    if (name.startsWith("shell-")) continue;
    const shelf = await caches.open(name);
    const found = (await shelf.match(WHOLE)) && (await shelf.match(address));
    if (found) return found;
  }
  return fetch(request);
}

// Takes away what no open page and no worker needs. A page that does not answer, or a worker that is on its way,
// may need anything; a page that is opening right now may be of the build before this one.
async function tidy() {
  if (self.registration.waiting || self.registration.installing) return;
  const pages = (await self.clients.matchAll({ type: "window", includeUncontrolled: true })).filter((one) => isPage(new URL(one.url).pathname));
  const said = await Promise.all(pages.map(saysOf));
  if (said.includes(null)) return;
  const names = await caches.keys();
  const before = names.filter((name) => name.startsWith("shell-") && name !== SHELF).at(-1);
  const needed = new Set([SHELF, before, ...KEPT.beside, ...said.flatMap(({ build, beside: own }) => [`shell-${build}`, ...own])]);
  await Promise.all(names.filter((name) => !needed.has(name)).map((name) => caches.delete(name)));
}

function saysOf(one) {
  return new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => done(data);
    setTimeout(() => done(null), PATIENCE_MS);
    one.postMessage("which build", [port2]);
  });
}
