// What this phone keeps, in IndexedDB. Every write is read back before anybody is told that it is kept; a connection
// that the browser has let go of is dropped, and the call made once more on a fresh one.

import { say } from "../say.js";

const NAME = "heaterapp";
const VERSION = 1;
const OTHERWISE = say("What this phone gave back is not what was written.");
const TRIES = 3;
const SHELVES = { drafts: "id", photos: "id", kept: "key", sent: "id" };

export class NotKept extends Error {
  // quota  the phone has no room left
  constructor(says, quota = false) {
    super(says);
    this.quota = quota;
  }
}

const faults = new WeakMap();
let handle = null;

function opened() {
  handle ??= new Promise((done, fail) => {
    if (!globalThis.indexedDB) {
      fail(new NotKept(say("This browser keeps nothing.")));
      return;
    }
    const asked = indexedDB.open(NAME, VERSION);
    asked.onupgradeneeded = () => {
      for (const [shelf, key] of Object.entries(SHELVES)) {
        if (asked.result.objectStoreNames.contains(shelf)) continue;
        const made = asked.result.createObjectStore(shelf, { keyPath: key });
        if (shelf === "photos") made.createIndex("draft", "draft");
      }
    };
    asked.onblocked = () => fail(new NotKept(say("Another tab holds this phone's store open: close it.")));
    asked.onerror = () => fail(new NotKept(say("This browser gave no store ({fault}).", { fault: asked.error?.name ?? "?" })));
    asked.onsuccess = () => {
      const base = asked.result;
      base.onversionchange = () => letGo(base);
      base.onclose = () => letGo(base);
      done(base);
    };
  });
  handle.catch(() => {
    handle = null;
  });
  return handle;
}

function letGo(base) {
  handle = null;
  base.close();
}

// act(transaction) starts the requests and returns a function that gives the result once all is done.
async function once(shelves, mode, act) {
  const base = await opened();
  return new Promise((done, fail) => {
    let run = null;
    try {
      run = base.transaction(shelves, mode, { durability: "strict" });
    } catch (fault) {
      letGo(base);
      fail(fault);
      return;
    }
    const result = act(run);
    run.oncomplete = () => done(result());
    run.onabort = () => fail(faults.get(run) ?? run.error ?? new DOMException("stopped", "AbortError"));
  });
}

async function twice(shelves, mode, act) {
  try {
    return await once(shelves, mode, act);
  } catch (fault) {
    if (fault instanceof NotKept || fault.name === "QuotaExceededError" || fault.name === "DataCloneError") throw told(fault);
    handle?.then((base) => letGo(base), () => {});
    handle = null;
    try {
      return await once(shelves, mode, act);
    } catch (again) {
      throw told(again);
    }
  }
}

function told(fault) {
  if (fault instanceof NotKept) return fault;
  const full = fault?.name === "QuotaExceededError";
  return new NotKept(full ? say("This phone has no room left.") : say("This phone did not keep it ({fault}).", { fault: fault?.name ?? fault }), full);
}

const of = (request) => () => request.result;

export async function open() {
  await opened();
}

export function get(shelf, key) {
  return twice([shelf], "readonly", (run) => of(run.objectStore(shelf).get(key)));
}

export function all(shelf) {
  return twice([shelf], "readonly", (run) => of(run.objectStore(shelf).getAll()));
}

export function photosOf(draft) {
  return twice(["photos"], "readonly", (run) => of(run.objectStore("photos").index("draft").getAll(draft)));
}

export function remove(shelf, key) {
  return changeTogether([["remove", shelf, key]]);
}

export async function put(shelf, value) {
  await putTogether([[shelf, value]]);
}

// Writes several rows, all or none, and reads each back.
export async function putTogether(rows) {
  await changeTogether(rows.map(([shelf, value]) => ["put", shelf, value]));
}

// steps: ["put", shelf, value] and ["remove", shelf, key], all or none; what was put is read back and compared.
// only: [shelf, key, holds], or null: nothing is done where holds(that row) is false, and nobody writes in between.
// returns whether it was done
export async function changeTogether(steps, only = null) {
  const shelves = [...new Set([...steps.map(([, shelf]) => shelf), ...(only ? [only[0]] : [])])];
  let holds = true;
  await twice(shelves, "readwrite", (run) => {
    const doAll = () => {
      for (const [act, shelf, what] of steps) {
        if (act === "put") run.objectStore(shelf).put(what);
        else run.objectStore(shelf).delete(what);
      }
    };
    if (only) given(run, only[0], only[1], (row) => (holds = only[2](row)) && doAll());
    else doAll();
    return () => undefined;
  });
  for (const [act, shelf, what] of holds ? steps : []) {
    if (act !== "put") continue;
    const back = await get(shelf, what[SHELVES[shelf]]);
    if (!same(back, what)) throw new NotKept(OTHERWISE);
  }
  return holds;
}

// Writes what made(row) gives of the row as it stands; nobody writes in between. Where it gives nothing, nothing is written.
// returns what was written, or null
export async function change(shelf, key, made) {
  for (let left = TRIES; left; left -= 1) {
    let next = null;
    await twice([shelf], "readwrite", (run) => {
      given(run, shelf, key, (row) => {
        next = made(row) ?? null;
        if (next) run.objectStore(shelf).put(next);
      });
      return () => undefined;
    });
    // Another tab may have written since: then it is made once more, of what stands there now.
    if (!next || same(await get(shelf, key), next)) return next;
  }
  throw new NotKept(OTHERWISE);
}

function given(run, shelf, key, act) {
  const asked = run.objectStore(shelf).get(key);
  asked.onsuccess = () => {
    try {
      act(asked.result);
    } catch (fault) {
      // Thrown in here it would end the whole step as a mere stop, and why would not be known.
      faults.set(run, fault);
      run.abort();
    }
  };
}

export function same(one, other) {
  if (one === other) return true;
  if (one instanceof ArrayBuffer && other instanceof ArrayBuffer) return sameBytes(one, other);
  if (typeof one !== "object" || typeof other !== "object" || !one || !other) return false;
  if (Array.isArray(one) !== Array.isArray(other)) return false;
  const [mine, theirs] = [Object.keys(one), Object.keys(other)];
  return mine.length === theirs.length && mine.every((key) => Object.hasOwn(other, key) && same(one[key], other[key]));
}

function sameBytes(one, other) {
  if (one.byteLength !== other.byteLength) return false;
  const [a, b] = [new Uint8Array(one), new Uint8Array(other)];
  return a.every((byte, at) => byte === b[at]);
}
