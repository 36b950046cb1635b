// Judges on the phone: loads the browser's Python, the rules and the pages' own code, and answers wishes by the
// same door as the server. Takes {files, digest, lock, keep, place, language} once, then {id, wish}; gives {loaded}, {up}, {fault}, {id, told, ms}.

import { say } from "../say.js";

const WHOLE = "/phone/whole";
const STEP_BYTES = 250_000;

let door = null;

self.addEventListener("message", ({ data }) => (data.files ? begin(data) : answer(data)));

async function begin({ files, digest, lock, keep, place, language }) {
  try {
    const { bytes, kept } = await bring(files, keep);
    await load(files, bytes, digest, lock, language);
    // The books of the usual place are read now, so that the first keystroke does not wait for them.
    door(JSON.stringify({ do: "told", language, answers: { heater_kind: "gas_storage", ...(place && { place }) }, section: "water" }));
    postMessage({ up: true, kept });
  } catch (fault) {
    postMessage({ fault: fault?.message || String(fault) });
  }
}

function answer({ id, wish }) {
  const from = performance.now();
  try {
    const told = door(wish);
    postMessage({ id, told, ms: performance.now() - from });
  } catch (fault) {
    postMessage({ id, fault: fault?.message || String(fault) });
  }
}

async function bring(files, keep) {
  let loaded = 0;
  let told = 0;
  const more = (count) => {
    loaded += count;
    if (loaded - told < STEP_BYTES) return;
    told = loaded;
    postMessage({ loaded });
  };
  const shelves = new Map();
  for (const { shelf } of files) shelves.set(shelf, keep ? await openShelf(shelf) : null);
  const lost = new Set();
  const bytes = await Promise.all(
    files.map(async (file) => {
      const shelf = shelves.get(file.shelf);
      const here = await held(shelf, file);
      if (here) {
        more(file.size);
        return here;
      }
      const { body, type } = await fetched(file, more);
      try {
        await shelf?.put(file.at, new Response(body, { headers: { "Content-Type": type } }));
      } catch {
        lost.add(file.shelf);
      }
      return body;
    }),
  );
  let kept = true;
  for (const [name, shelf] of shelves) {
    if (!shelf || lost.has(name)) kept = false;
    else await shelf.put(WHOLE, new Response(""));
  }
  return { bytes, kept };
}

// A browser that keeps nothing (private, or full) can still judge while the page stands.
async function openShelf(name) {
  try {
    return await caches.open(name);
  } catch {
    return null;
  }
}

async function held(shelf, file) {
  const there = await shelf?.match(file.at);
  if (!there) return null;
  const body = new Uint8Array(await there.arrayBuffer());
  if (await whole(body, file)) return body;
  await shelf.delete(file.at);
  return null;
}

async function fetched(file, more) {
  const reply = await fetch(file.at);
  if (!reply.ok) throw new Error(say("{file}: the server said {code}", { file: name(file), code: reply.status }));
  const body = new Uint8Array(file.size);
  const reader = reply.body.getReader();
  let at = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    if (at + value.length > file.size) throw new Error(say("{file} is not the file this page was made for", { file: name(file) }));
    body.set(value, at);
    at += value.length;
    more(value.length);
  }
  if (at < file.size || !(await whole(body, file))) throw new Error(say("{file} did not come whole", { file: name(file) }));
  return { body, type: reply.headers.get("Content-Type") };
}

async function whole(body, file) {
  if (body.length !== file.size) return false;
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", body));
  return [...sum].map((byte) => byte.toString(16).padStart(2, "0")).join("") === file.sha256;
}

const name = (file) => file.at.split("/").pop();

async function load(files, bytes, digest, lock, language) {
  const at = (end) => files.findIndex((file) => file.at.endsWith(end));
  const place = files[at("/pyodide.mjs")].at;
  const indexURL = new URL(place.slice(0, place.lastIndexOf("/") + 1), location).href;
  lend(files, bytes);
  const { loadPyodide } = await import(`${indexURL}pyodide.mjs`);
  const python = await loadPyodide({ indexURL, lockFileContents: lock });
  for (const path of ["/rules/", "/pages/"]) {
    python.unpackArchive(bytes[files.findIndex((file) => file.at.includes(path) && file.at.endsWith(".zip"))], "zip", { extractDir: "/app" });
  }
  const [call, here, teach] = python.runPython(BEGIN);
  if (here !== digest) throw new Error(say("the rules that came are not the ones this page was made for"));
  // The words of another language than English come as one file; what was taught is spoken by name in each wish.
  const words = at(".json");
  if (words >= 0) teach(language, new TextDecoder().decode(bytes[words]));
  door = call;
}

// What was fetched and compared already is not fetched again.
function lend(files, bytes) {
  const own = self.fetch.bind(self);
  const lent = new Map(files.map((file, at) => [new URL(file.at, location).href, bytes[at]]));
  self.fetch = (what, how) => {
    const address = String(what.url ?? what);
    if (!lent.has(address)) return own(what, how);
    const type = address.endsWith(".wasm") ? "application/wasm" : "application/octet-stream";
    return Promise.resolve(new Response(lent.get(address), { headers: { "Content-Type": type } }));
  };
}

const BEGIN = `
import gc
import json
import sys
sys.path.insert(0, "/app")
sys.dont_write_bytecode = True
from heaterapp.filling.door import call
from heaterapp.languages import teach
from heaterapp.rules import digest
from pyodide.ffi import to_js
# What was loaded stays for ever, and a verdict leaves few circles: looked through seldom.
gc.collect()
gc.freeze()
gc.set_threshold(50_000, 20, 20)
to_js([call, digest(), lambda language, words: teach(language, json.loads(words))])
`;
