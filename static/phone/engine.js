// The one place that knows where answers are judged: on the phone once its engine is up, else at the server.

import { language, say } from "../say.js";
import { dayThere } from "../today.js";
import { account, api, Unreachable } from "./api.js";

const SILENT_MS = 60_000;
const ANSWER_MS = 20_000;
// The last part is the start of what was loaded.
export const FETCHED = 0.95;
const AGAIN_MS = [30_000, 120_000, 600_000];

let given = null;
let worker = null;
let up = false;
let loading = null;
let fault = null;
let reachable = true;
let failures = 0;
let asked = 0;
let watch = 0;
let later = 0;
const waiting = new Map();
const listeners = new Set();

// given  {worker, digest, lock, files, words, keep, place}, or null where this server has no engine for phones
export function start(what) {
  given = what;
  if (!given) return;
  const lacks = cannot();
  if (lacks) failed(lacks, false);
  else load();
}

export function state() {
  return { way: up ? "phone" : reachable ? "server" : "none", loading, fault };
}

export function onState(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

// What the door says to a wish, an {error, code} included. raises Unreachable where nobody could judge it now
export async function ask(wish) {
  const text = JSON.stringify({ ...wish, language, today: dayThere() });
  if (up) {
    try {
      return await onPhone(text);
    } catch (broken) {
      failed(say("The engine stopped: {why}.", { why: broken.message }), true);
    }
  }
  try {
    const told = await atServer(text);
    met(true);
    return told;
  } catch (broken) {
    met(broken.answered === true);
    // No fault: it is asked again by itself.
    broken.soon = loading === null ? "" : say("This phone is getting ready to judge ({much}).", { much: loading < FETCHED ? `${Math.round(loading * 100)} %` : say("a few seconds") });
    throw broken;
  }
}

async function atServer(body) {
  const post = () => api("judge", { method: "POST", body });
  let { status, told } = await post();
  if (status === 403) {
    await account();
    ({ status, told } = await post());
  }
  if (status === 200 || told.code === "bad_wish") return told;
  const why = status === 401 ? say("signed out, and the engine on this phone is not up") : told.error ?? say("the server said {code}", { code: status });
  throw Object.assign(new Unreachable(why), { answered: true });
}

function met(there) {
  if (reachable === there) return;
  reachable = there;
  tell();
}

function cannot() {
  const parts = { WebAssembly: globalThis.WebAssembly, Worker: globalThis.Worker, "crypto.subtle": globalThis.crypto?.subtle };
  const lacking = Object.keys(parts).filter((name) => !parts[name]);
  return lacking.length ? say("This browser cannot judge on the phone (no {parts}): the server judges, with a signal.", { parts: lacking.join(", ") }) : "";
}

function load() {
  clearTimeout(later);
  if (worker || up) return;
  loading = 0;
  const mine = new Worker(given.worker, { type: "module", name: "engine" });
  worker = mine;
  const total = given.files.reduce((sum, file) => sum + file.size, 0);
  mine.addEventListener("message", ({ data }) => worker === mine && heard(data, total));
  mine.addEventListener("error", (event) => {
    event.preventDefault();
    if (worker === mine) notLoaded(event.message || say("its script did not come"));
  });
  patience();
  mine.postMessage({ ...given, language });
  tell();
}

function patience() {
  clearTimeout(watch);
  watch = setTimeout(() => notLoaded(say("nothing came for a minute")), SILENT_MS);
}

function heard(data, total) {
  if (data.id !== undefined) {
    const held = waiting.get(data.id);
    waiting.delete(data.id);
    clearTimeout(held?.limit);
    if (data.fault) held?.reject(new Error(data.fault));
    else held?.resolve(JSON.parse(data.told));
  } else if (data.loaded !== undefined) {
    patience();
    loading = Math.min(FETCHED, data.loaded / total);
    tell();
  } else if (data.up) {
    clearTimeout(watch);
    up = true;
    loading = null;
    failures = 0;
    fault = data.kept || !given.keep ? null : say("The engine could not be kept on this phone: without a signal it will not be there next time.");
    tell();
  } else if (data.fault) {
    notLoaded(data.fault);
  }
}

function onPhone(wish) {
  const id = ++asked;
  return new Promise((resolve, reject) => {
    const limit = setTimeout(() => {
      waiting.delete(id);
      reject(new Error(say("it gave no answer")));
    }, ANSWER_MS);
    waiting.set(id, { resolve, reject, limit });
    worker.postMessage({ id, wish });
  });
}

function notLoaded(why) {
  failed(say("The engine could not be loaded: {why}.", { why }), true);
}

function failed(why, again) {
  clearTimeout(watch);
  worker?.terminate();
  worker = null;
  up = false;
  loading = null;
  fault = why;
  for (const { reject, limit } of waiting.values()) {
    clearTimeout(limit);
    reject(new Error(say("it was ended")));
  }
  waiting.clear();
  if (again) {
    clearTimeout(later);
    later = setTimeout(load, AGAIN_MS[Math.min(failures, AGAIN_MS.length - 1)]);
    failures += 1;
  }
  tell();
}

function tell() {
  for (const listener of listeners) listener(state());
}

globalThis.addEventListener?.("online", () => {
  met(true);
  if (given && !up && !worker && !cannot()) load();
});
globalThis.addEventListener?.("offline", () => met(false));
