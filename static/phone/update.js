// Keeps the pages on the phone, notices when a newer build is there, and changes to it where nobody is disturbed:
// at the list, or while the page is out of sight; else when one asks for it. One reload, to the same place. What was
// typed is saved before, and lies in the phone's own store, which no update touches.

import { say } from "../say.js";
import { keepPlace } from "./place.js";

const EVERY_MS = 30 * 60_000;
const AGAIN_MS = 20_000;
const PATIENCE_MS = 10_000;
const ANSWER_MS = 3000;
const TRIED = "changed-to";

// app.settings: build, beside, keep; view(): the view that is shown. A view may have
//   rest()  resolves once all that was typed is kept; a view without it is never reloaded by itself
//   list    it is the list of jobs
// returns {look, mayChange}: look is to be called whenever another view is shown; mayChange says whether the page may load
//         anew by itself now
export function keepUpdated(app, view) {
  const way = navigator.serviceWorker;
  const bar = document.querySelector("[data-newer]");
  const button = bar.querySelector("button");
  const { build, beside, keep } = app.settings;
  let registration = null;
  let next = null;
  let choosing = false;
  let changing = false;
  let pause = AGAIN_MS;

  async function begin() {
    if (!keep) {
      for (const one of await way.getRegistrations()) await one.unregister();
      return;
    }
    way.addEventListener("message", ({ data, ports }) => {
      if (data === "which build") ports[0]?.postMessage({ build, beside: Object.keys(beside) });
    });
    way.startMessages();
    way.addEventListener("controllerchange", look);
    registration = await way.register("/phone/sw.js", { scope: "/phone", updateViaCache: "none" });
    registration.addEventListener("updatefound", () => follow(registration.installing));
    if (registration.installing) follow(registration.installing);
    document.addEventListener("visibilitychange", () => (document.hidden ? look() : check()));
    // While a picture is taken or chosen the page is out of sight, and waits for it.
    document.addEventListener("click", ({ target }) => target.closest?.("input[type=file]") && (choosing = true), true);
    for (const done of ["change", "cancel"]) document.addEventListener(done, ({ target }) => target.type === "file" && (choosing = false), true);
    button.addEventListener("click", () => change(true));
    app.outbox.onChange(offer);
    setInterval(check, EVERY_MS);
    await look();
    await check();
    registration.active?.postMessage("tidy");
  }

  async function check() {
    try {
      const answer = await fetch("/phone/version.json", { cache: "no-store" });
      if ((await answer.json()).build !== build) await registration.update();
    } catch {
      // No connection, or an answer of somebody else: asked again the next time.
    }
  }

  function follow(worker) {
    worker?.addEventListener("statechange", () => {
      if (worker.state === "redundant" && worker !== registration.active) {
        setTimeout(check, pause);
        pause = Math.min(pause * 2, EVERY_MS);
      }
      look();
    });
  }

  async function look() {
    if (changing || !registration?.active) return;
    const ready = registration.waiting ?? way.controller;
    const said = ready && (await saysOf(ready));
    if (!said) return;
    if (said.build === build || said.also?.includes(build)) {
      // This page came past the worker and is of the newer build already, or of its other language.
      registration.waiting?.postMessage("take over");
      next = null;
    } else {
      next = said.build;
    }
    offer();
  }

  async function offer() {
    bar.hidden = !next;
    button.hidden = !view()?.rest;
    if (!next || sessionStorage.getItem(TRIED) === next || !mayChange()) return;
    // A job that is being sent is let through first; the outbox tells when it is.
    if (!(await app.outbox.counts()).sending && mayChange()) change();
  }

  function mayChange() {
    return !choosing && view()?.rest && (view().list || document.hidden);
  }

  async function change(asked = false) {
    if (changing) return;
    changing = true;
    try {
      await view().rest();
      await taken(registration.waiting);
      document.body.inert = true;
      await view().rest();
      sessionStorage.setItem(TRIED, next);
      keepPlace();
      location.reload();
    } catch (fault) {
      document.body.inert = false;
      changing = false;
      if (asked) app.tell(say("The newer version could not be put in: {why}. What you typed is kept.", { why: fault.message }), true);
    }
  }

  function taken(worker) {
    if (!worker) return Promise.resolve();
    return new Promise((done, fail) => {
      worker.addEventListener("statechange", () => worker.state === "activated" && done());
      setTimeout(fail, PATIENCE_MS, new Error(say("it did not start")));
      worker.postMessage("take over");
    });
  }

  if (way && globalThis.caches) begin().catch((fault) => app.tell(say("These pages are not kept on this phone: {why}.", { why: fault.message }), true));
  return { look: () => offer(), mayChange };
}

function saysOf(worker) {
  return new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => done(data);
    setTimeout(done, ANSWER_MS, null);
    worker.postMessage("which build", [port2]);
  });
}
