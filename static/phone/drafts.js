// A job on this phone: begun here, saved after every field, opened again where one left it.

import { language, say } from "../say.js";
import * as store from "./store.js";

export const FORM = 1;

export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}

export function begun(answers, who, from = {}) {
  const now = new Date().toISOString();
  return {
    id: newId(), form: FORM, job: null, base: null, made_at: now, changed_at: now, who, answers, typed: {}, boxes: {}, at: "job",
    told: null, signatures: null, photos: [], state: "draft", parcel: null, parcel_sha256: null, problem: null, tries: 0,
    next_try_at: null, ready_at: null, number: null, link: null, ...from,
  };
}

// Where a draft may be changed: not while it is on its way.
export function mayChange(draft) {
  return draft.state !== "sending" && draft.state !== "accepted";
}

export function addressOf(draft) {
  const said = (name) => draft.typed?.[name] ?? draft.answers?.[name] ?? "";
  return [said("address_street"), said("address_unit"), said("address_city")].filter(Boolean).join(", ") || say("No address yet");
}

// Made once: after every keystroke the time is said, and a form of its own each time costs as much as the verdict's line.
const HOURS = new Intl.DateTimeFormat(language, { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
const DAYS = new Intl.DateTimeFormat(language, { day: "numeric", month: "short" });

// The time of day; of another day than today, the day with it.
export function clock(iso) {
  const at = new Date(iso ?? "");
  if (Number.isNaN(at.getTime())) return say("at a time that is not known");
  return at.toDateString() === new Date().toDateString() ? HOURS.format(at) : `${DAYS.format(at)}, ${HOURS.format(at)}`;
}

// Where a job stands on its way is the outbox's to say, and its photos the photos page's: a view that was opened before
// either wrote has an older word for them.
const OTHERS = ["photos", "camera", "problem"];
const SENDING = ["state", "tries", "next_try_at", "seen_at"];

function over(row, draft) {
  if (!row) return null;
  const next = structuredClone(draft);
  const onItsWay = draft.parcel && row.parcel_sha256 === draft.parcel_sha256;
  for (const name of onItsWay ? [...OTHERS, ...SENDING] : OTHERS) if (name in row) next[name] = row[name];
  return next;
}

// Saves one draft: at once, one write at a time, the newest state last.
// tell(text, bad) is told when it is kept and when it is not; gone() when the job is on this phone no more: it was sent
// or removed meanwhile, and does not come back by what a page still shows of it.
export function saver(draft, tell, gone = () => {}) {
  let writing = null;
  let again = false;
  let lost = "";
  let away = false;

  async function write() {
    do {
      again = false;
      try {
        away = !(await store.change("drafts", draft.id, (row) => over(row, draft)));
        if (away) {
          again = false;
          gone();
          break;
        }
        lost = "";
        if (!again) tell(say("saved on this phone {time}", { time: clock(new Date().toISOString()) }));
      } catch (fault) {
        lost = fault.message;
        tell(say("not saved: {why} Save this job to a file, from the list of jobs.", { why: fault.message }), true);
      }
    } while (again);
    writing = null;
  }

  return {
    touch() {
      if (away) return Promise.resolve();
      draft.changed_at = new Date().toISOString();
      again = true;
      writing ??= write();
      return writing;
    },
    get settled() {
      return writing ?? Promise.resolve();
    },
    // Resolves once all is kept. Raises Error where it is not.
    async rest() {
      while (writing) await writing;
      if (lost) throw new Error(lost);
    },
  };
}

// A changed answer takes the signature away: what was signed is what was answered then.
export function unsigned(draft) {
  if (!draft.signatures && draft.state === "draft") return false;
  Object.assign(draft, { signatures: null, state: "draft", parcel: null, parcel_sha256: null, ready_at: null });
  return true;
}
