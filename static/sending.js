// Answers on their way: gathered while one types, sent one parcel at a time, kept until the server has taken them.

import { Unreachable } from "./judge.js";
import { say } from "./say.js";

const WAIT_MS = 250;
const RETRY_MS = [1000, 2000, 5000, 10000];

// post(changes, parting, alone)  sends a parcel and gives what was told, or throws
// taken(told, sent)              shows what was told
// tell(text, bad)                says in words what is saved and what is not
// keep(parcel)                   remembers what is not taken yet, in case the page goes away
export function sender(post, taken, tell, keep) {
  let waiting = new Map();
  let underway = null;
  let settled = Promise.resolve();
  let timer = 0;
  let tries = 0;
  let left = false;

  function later(pause) {
    clearTimeout(timer);
    if (left) return;
    timer = setTimeout(() => go(), pause);
  }

  async function carry(parcel, parting) {
    const before = underway;
    underway = parcel;
    let told = null;
    try {
      // While an earlier parcel may or may not have arrived, no revision can be named: this device's last word holds.
      told = await post(Object.fromEntries(parcel), parting, before !== null);
    } catch (fault) {
      refused(parcel, fault);
    }
    underway = parting ? before : null;
    remember();
    if (!told) return;
    tries = 0;
    taken(told, parcel);
    if (waiting.size && !tries) later(WAIT_MS);
  }

  // Nothing is dropped: what was not taken waits for the next try, or for the next word typed.
  function refused(parcel, fault) {
    if (left) return;
    for (const [name, answer] of parcel) if (!waiting.has(name)) waiting.set(name, answer);
    const again = fault instanceof Unreachable;
    const why = fault.message;
    tell(again ? say("not saved: {why}. Trying again.", { why }) : say("not saved: {why}", { why }), true);
    if (again) later(RETRY_MS[Math.min(tries, RETRY_MS.length - 1)]);
    tries += 1;
  }

  function remember() {
    keep(new Map([...(underway ?? []), ...waiting]));
  }

  function go(parting = false) {
    if (underway && !parting) return settled;
    const parcel = parting && underway ? new Map([...underway, ...waiting]) : waiting;
    if (!parcel.size) return settled;
    clearTimeout(timer);
    waiting = new Map();
    settled = carry(parcel, parting);
    return settled;
  }

  return {
    add(name, answer) {
      waiting.set(name, answer);
      remember();
      if (!tries) tell(say("saving"));
      later(WAIT_MS);
    },
    now: () => go(),
    part: () => go(true),
    // Everything typed so far sent, or found to be unsendable for now.
    async flush() {
      await settled;
      await go();
    },
    holds: (name) => waiting.has(name),
    get idle() {
      return left || (!waiting.size && !underway);
    },
    // The form itself carries everything from here on.
    leave() {
      left = true;
      clearTimeout(timer);
      waiting = new Map();
      keep(waiting);
    },
  };
}
