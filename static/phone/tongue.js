// The language of these pages: changed by one tap, with a signal or without one, on this phone and for who is signed in.
// The cookie is what this phone's pages go by, those at the office too; a note beside the kept pages says the same to the
// worker, which cannot read it.

import { language, say } from "../say.js";
import { api } from "./api.js";
import { keepPlace } from "./place.js";
import { sentence } from "./sentence.js";

const COOKIE = "language";
const LASTS_S = 400 * 24 * 3600;
const SHELF = "chosen";
const NOTE = "/phone/language";
const UNTOLD = "language-untold";
const FOLLOWED = "language-followed";
const CALM_MS = 15_000;
const KEEP_MS = 60_000;
const TELL_MS = 1500;

// view(): the view that is shown; mayChange(): whether nobody is disturbed by a page that loads anew
export function tongues(app, { view, mayChange }) {
  const buttons = [...document.querySelectorAll("[data-tongue]")];
  let changing = false;
  let ready = "";
  for (const one of buttons) one.addEventListener("click", () => tapped(one));

  async function tapped(button) {
    if (changing) return;
    changing = true;
    const to = button.dataset.tongue;
    button.setAttribute("aria-busy", "true");
    try {
      await view()?.rest?.();
      if (!(await isHere(app, to))) {
        // Who reads the other language is told in it.
        app.tell(button.dataset.notHere, true, to);
        return;
      }
      choose(to);
      localStorage.setItem(UNTOLD, to);
      await Promise.race([tellOffice(), new Promise((enough) => setTimeout(enough, TELL_MS))]);
      await change(to);
    } catch (fault) {
      document.body.inert = false;
      app.tell(say("The language was not changed: {why} What you typed is kept.", { why: sentence(fault) }), true);
    } finally {
      changing = false;
      button.removeAttribute("aria-busy");
    }
  }

  async function change(to) {
    await noted(to);
    document.body.inert = true;
    await view()?.rest?.();
    keepPlace({ typed: !view()?.rest });
    location.reload();
  }

  // What was chosen on another page of this browser holds here too, as soon as nobody is disturbed by it.
  async function follow() {
    const chosen = inCookie();
    if (!chosen) return restored();
    if (chosen === language || !buttons.some((one) => one.dataset.tongue === chosen)) return;
    if (sessionStorage.getItem(FOLLOWED) === chosen || changing) return;
    if (ready !== chosen) ready = (await isHere(app, chosen)) ? chosen : "";
    if (ready !== chosen || !mayChange() || changing) return;
    changing = true;
    sessionStorage.setItem(FOLLOWED, chosen);
    await change(chosen).finally(() => (changing = false));
  }

  document.addEventListener("visibilitychange", () => follow().catch(() => {}));
  return { look: () => follow().catch(() => {}) };
}

// Brings the pages in the other languages to this phone once it has all else: then one tap is enough with no signal too.
export function keepOthers() {
  if (navigator.connection?.saveData) return;
  setTimeout(() => {
    for (const one of document.querySelectorAll("[data-tongue]")) askWorker(one.dataset.tongue).catch(() => {});
  }, CALM_MS);
}

// A choice that the office has not heard yet is told now; nobody waits for it.
export async function tellOffice() {
  const to = localStorage.getItem(UNTOLD);
  if (!to) return;
  const { status } = await api("language", { method: "POST", body: JSON.stringify({ language: to }) }).catch(() => ({}));
  if (status === 200 && localStorage.getItem(UNTOLD) === to) localStorage.removeItem(UNTOLD);
}

async function isHere(app, to) {
  const kept = app.settings.keep && (await askWorker(to));
  if (kept) return true;
  // Nothing is kept by this browser, or not all of it came: with a signal the server gives the pages.
  return fetch("/phone/version.json", { cache: "no-store" }).then((answer) => answer.ok, () => false);
}

// Resolves to whether the pages in a language are kept here; it fetches what is not.
async function askWorker(to) {
  const worker = (await navigator.serviceWorker?.getRegistration("/phone/"))?.active;
  if (!worker) return false;
  return new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => done(data.kept);
    setTimeout(done, KEEP_MS, false);
    worker.postMessage({ keep: to }, [port2]);
  });
}

function choose(to) {
  document.cookie = `${COOKIE}=${to}; path=/; max-age=${LASTS_S}; samesite=lax${location.protocol === "https:" ? "; secure" : ""}`;
}

function inCookie() {
  return document.cookie.split("; ").find((one) => one.startsWith(`${COOKIE}=`))?.slice(COOKIE.length + 1) ?? "";
}

async function noted(to) {
  if (globalThis.caches) await (await caches.open(SHELF)).put(NOTE, new Response(to));
}

// A browser may forget a cookie sooner than what it keeps.
async function restored() {
  const note = await globalThis.caches?.match(NOTE, { cacheName: SHELF });
  if (note) choose(await note.text());
}
