// A job saved to a file and opened from one: the way out of a phone that cannot send.

import { say } from "../say.js";
import { addressOf, FORM } from "./drafts.js";
import { broughtUp } from "./older.js";
import { sha256 } from "./sums.js";

const LARGEST = 40_000_000;

// What is true of a job on one phone only: what was shown there, a camera that was open, a signature half given, the tries
// to send it.
const ON_ITS_PHONE = { told: undefined, camera: undefined, signing: undefined, problem: null, tries: 0, next_try_at: null };

export async function saveToFile(app, draft) {
  const rows = await app.store.photosOf(draft.id);
  const photos = [];
  for (const { sha256: sum, kind, type, bytes } of rows) {
    photos.push({ sha256: sum, kind: kind ?? draft.photos.find((one) => one.sha256 === sum)?.kind ?? "other", type, base64: await asText(bytes) });
  }
  const kept = { ...draft, ...ON_ITS_PHONE };
  const text = JSON.stringify({ heaterapp_job_file: 1, draft: kept, photos });
  const name = `${addressOf(draft).replace(/[^\w]+/g, "-").replace(/^-|-$/g, "").slice(0, 60) || "job"}.heaterjob.json`;
  const file = new File([text], name, { type: "application/json" });
  if (navigator.canShare?.({ files: [file] }) && navigator.maxTouchPoints) {
    try {
      await navigator.share({ files: [file] });
      return;
    } catch (fault) {
      if (fault.name === "AbortError") return;
    }
  }
  const link = Object.assign(document.createElement("a"), { href: URL.createObjectURL(file), download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

const isText = (one) => typeof one === "string";
const isObject = (one) => typeof one === "object" && one !== null && !Array.isArray(one);
const isDate = (one) => isText(one) && !Number.isNaN(Date.parse(one));
const orNone = (fits) => (one) => one === null || fits(one);
const areEach = (fits) => (list) => Array.isArray(list) && list.every(fits);

// What every page takes for granted of a job: one row that is otherwise would end the list of all jobs.
const SHAPE = {
  id: (one) => isText(one) && /^[\w-]{1,60}$/.test(one),
  made_at: isDate, changed_at: isDate, answers: isObject, typed: isObject, boxes: isObject, at: isText,
  job: orNone(isText), base: orNone(isObject), who: orNone(isObject), parcel: orNone(isText), parcel_sha256: orNone(isText),
  ready_at: orNone(isDate), photos: areEach((one) => isObject(one) && [one.id, one.sha256, one.kind, one.note].every(isText)),
  inspected: (one) => one === undefined || one === null || isObject(one),
};
const PHOTO = (one) => isObject(one) && [one.sha256, one.base64].every(isText);

// Takes a job from a file; one that is here already stays as it is.
// raises  Error with a sentence
export async function takeFromFile(app, file) {
  if (file.size > LARGEST) throw new Error(say("This file is larger than 40 MB, which no saved job is."));
  let held = null;
  try {
    held = JSON.parse(await file.text());
  } catch {
    throw new Error(say("This file is no saved job, or it is cut off."));
  }
  if (held?.heaterapp_job_file !== 1 || !isObject(held.draft)) throw new Error(say("This file is no saved job."));
  if (held.draft.form > FORM) throw new Error(say("This job was saved by a newer version of this page: let this one renew itself first."));
  const draft = broughtUp(held.draft);
  const whole = Object.entries(SHAPE).every(([name, fits]) => fits(draft[name])) && areEach(PHOTO)(held.photos ?? []);
  if (!whole) throw new Error(say("This file is no whole job. Nothing was taken from it."));
  if (await app.store.get("drafts", draft.id)) throw new Error(say("This job is on this phone already. Nothing was changed."));
  const photos = [];
  for (const one of held.photos ?? []) {
    const bytes = fromText(one.base64);
    if ((await sha256(bytes)) !== one.sha256) throw new Error(say("A photo in this file is damaged. Nothing was taken from it."));
    const id = draft.photos?.find((photo) => photo.sha256 === one.sha256)?.id ?? one.sha256;
    photos.push({ id, draft: draft.id, sha256: one.sha256, kind: one.kind, type: one.type, bytes: bytes.buffer });
  }
  const state = draft.parcel ? "ready" : "draft";
  await app.store.putTogether([["drafts", { ...draft, ...ON_ITS_PHONE, told: null, state, by_file: Boolean(draft.parcel) }], ...photos.map((photo) => ["photos", photo])]);
  return draft.id;
}

async function asText(bytes) {
  const url = await new Promise((done, fail) => {
    const reader = new FileReader();
    reader.onload = () => done(reader.result);
    reader.onerror = () => fail(reader.error);
    reader.readAsDataURL(new Blob([bytes]));
  });
  return url.slice(url.indexOf(",") + 1);
}

function fromText(base64) {
  try {
    return Uint8Array.from(atob(base64), (one) => one.charCodeAt(0));
  } catch {
    throw new Error(say("A photo in this file is damaged. Nothing was taken from it."));
  }
}
