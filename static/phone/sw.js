// Keeps one build of the shell on the phone, and gives it without a connection. KEPT is written above by the server:
// the build's name, its language, its files with their SHA-256, the names of the caches that lie beside it, what the
// engine is made of; and in `others` the same of the builds in other languages, which the page asks for once it can be
// used. Whatever else the server answers (who is signed in, jobs, verdicts, its own pages) goes past this worker, and is
// never kept.

const SHELF = shelfOf(KEPT);
const OF_A_BUILD = /^\/phone\/([0-9a-f]{16})\//;
const BESIDE = /^\/(?:fonts|phone\/(?:engine|rules|pages))\//;
const NO_PAGE = /^\/phone\/(?:api\/|engine\/|rules\/|pages\/|version\.json$|sw\.js$)/;
const WHOLE = "/phone/whole";
const CHOSEN = "chosen";
const LANGUAGE = "/phone/language";
const PATIENCE_MS = 3000;

self.addEventListener("install", (event) => {
  event.waitUntil(keepAll());
});

async function keepAll() {
  await keepBuild(KEPT);
  // Whoever reads another language must find it in the newer build too, from its first moment.
  const other = KEPT.others[await chosen()];
  if (other) await keepBuild(other);
}

// All files or none: a server that was replaced meanwhile, a cut connection or a network that answers for the server
// leaves nothing behind, and the browser asks again.
async function keepBuild(one) {
  const name = shelfOf(one);
  const shelf = await caches.open(name);
  if (!(await shelf.match(WHOLE))) {
    try {
      await Promise.all(Object.entries(one.files).map(([path, sum]) => keepFile(shelf, one, path, sum)));
      await shelf.put(WHOLE, new Response(""));
    } catch (fault) {
      const { active } = self.registration;
      if (!active || (await saysOf(active))?.build !== one.build) await caches.delete(name);
      throw fault;
    }
  }
  await keepEngine(one.engine);
}

// What is the same in every language is here already. It is kept anew, without the address that it came from: a script
// takes what it imports from beside its answer's own address, which is that of the other language's build.
async function keepFile(shelf, one, path, sum) {
  const here = one !== KEPT && KEPT.files[path] === sum && (await caches.match(addressOf(KEPT, path), { cacheName: SHELF }));
  if (here) await shelf.put(addressOf(one, path), new Response(await here.blob(), { headers: here.headers }));
  else await keepOne(shelf, addressOf(one, path), sum);
}

// A phone that judges by itself must do so in the newer build too, from its first moment: what of the engine is
// another one comes with the build. The first time the page fetches it, once its form can be used.
async function keepEngine(engine) {
  if (!self.registration.active || !(await caches.keys()).some((name) => name.startsWith("engine-"))) return;
  for (const [name, files] of Object.entries(engine)) {
    const shelf = await caches.open(name);
    if (await shelf.match(WHOLE)) continue;
    // A cut connection goes on where it was: what lies here was compared before.
    await Promise.all(Object.entries(files).map(async ([address, sum]) => (await shelf.match(address)) ?? keepOne(shelf, address, sum)));
    await shelf.put(WHOLE, new Response(""));
  }
}

function shelfOf(one) {
  return `shell-${one.build}`;
}

function addressOf(one, path) {
  return `/phone/${one.build}/${path}`;
}

// The language that was chosen on this phone; of the build's own nothing need be said.
async function chosen() {
  return (await caches.match(LANGUAGE, { cacheName: CHOSEN }))?.text();
}

async function buildToShow() {
  const other = KEPT.others[await chosen()];
  return other && (await caches.match(WHOLE, { cacheName: shelfOf(other) })) ? other : KEPT;
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
  if (event.data === "which build") event.ports[0]?.postMessage({ build: KEPT.build, also: others().map(({ build }) => build), beside: KEPT.beside });
  if (event.data?.keep) event.waitUntil(keepOther(event.data.keep, event.ports[0]));
  if (event.data === "tidy") event.waitUntil(tidy());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  const [, build] = OF_A_BUILD.exec(url.pathname) ?? [];
  if (build) event.respondWith(kept(`shell-${build}`, url.pathname, request));
  else if (BESIDE.test(url.pathname)) event.respondWith(beside(url.pathname, request));
  else if (request.mode === "navigate" && isPage(url.pathname)) event.respondWith(shown(request));
});

function others() {
  return Object.values(KEPT.others);
}

// Tells whether the pages in a language are on this phone now, all of them.
async function keepOther(language, port) {
  try {
    await keepBuild(language === KEPT.language ? KEPT : KEPT.others[language]);
    port?.postMessage({ kept: true });
  } catch (fault) {
    port?.postMessage({ kept: false, why: String(fault?.message) });
  }
}

function isPage(path) {
  return path === "/phone" || (path.startsWith("/phone/") && !NO_PAGE.test(path));
}

async function shown(request) {
  const one = await buildToShow();
  return kept(shelfOf(one), addressOf(one, "shell.html"), request);
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
  const own = [SHELF, ...others().map(shelfOf)];
  const before = names.filter((name) => name.startsWith("shell-") && !own.includes(name)).at(-1);
  const needed = new Set([...own, before, CHOSEN, ...KEPT.beside, ...others().flatMap(({ beside }) => beside), ...said.flatMap((page) => [shelfOf(page), ...page.beside])]);
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
