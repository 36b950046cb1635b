// The photos of a job: which are wanted, which are here; taken, chosen, named, put on the paper, taken out again.
// Each is written with the job in one step, read back and compared before anybody is told that it is kept.

import { say } from "../say.js";
import { opensAfter, whenTaken } from "./camera.js";
import { clock, mayChange, newId, unsigned } from "./drafts.js";
import { fromWhen, hasPlace, MOST_PHOTOS, stateOf, totalOf, whereSeen } from "./going-along.js";
import { broughtUp } from "./older.js";
import { pictureItem } from "./picture-item.js";
import { sentence } from "./sentence.js";
import { shotRow } from "./shot.js";
import { shrunk } from "./shrink.js";

const AGAIN_MS = 2000;
const NAMED = 3;
const FULL = say("A job takes at most {count} pictures. Remove one first.", { count: MOST_PHOTOS });
const NO_ROOM = say("This phone has no room left, so this was not kept. The job is kept as it was before. Free some room and try again, or save this job to a file.");

// draft    the job; changed only once the change is kept
// store    store.js, or anything with its calls
// save     (draft) -> Promise: keeps a draft alone, raises NotKept where it does not
// ask      the engine's door
// tell     (text, bad): told when something is kept, or is not
// row      (name) -> a piece of markup of this view
// listed   every kind of picture, for while nobody can tell which ones this job wants
// toFile   () -> saves the job to a file
// returns  {node, close, rest, ready}
export async function photosView({ draft, store, save, ask, tell, row, listed, toFile }) {
  const node = row("photos");
  const part = (name) => node.querySelector(`[data-${name}]`);
  const items = new Map();
  const rows = new Map();
  const removed = new Map();
  const open = mayChange(draft);
  const back = draft.camera ?? null;
  let kept = new Map((await store.photosOf(draft.id)).map((one) => [one.id, one]));
  let wanted = listed.map((one) => ({ ...one, asked: false }));
  let told = false;
  let closed = false;
  let again = 0;
  let unsignedNow = false;
  let line = Promise.resolve();
  let adding = Promise.resolve();

  // One change after the other, each on what the phone holds now; never to a job that was sent meanwhile.
  function change(act, keep = save, signed = false) {
    const turn = line.then(async () => {
      const there = await store.get("drafts", draft.id);
      if (!there || !mayChange(there)) throw new Error(say("This job was sent meanwhile."));
      const next = structuredClone(broughtUp(there));
      unsignedNow = !signed && unsigned(next);
      act(next);
      next.changed_at = new Date().toISOString();
      await keep(next);
      Object.assign(draft, next);
    });
    line = turn.catch(() => {});
    return turn;
  }

  async function changeAndSay(act, keep, kind) {
    try {
      await change(act, keep);
      fault("");
      const again = unsignedNow ? say("; the signature is gone, sign again when you are done") : "";
      tell(say("saved on this phone {time}", { time: clock(draft.changed_at) }) + again);
      return true;
    } catch (lost) {
      fault(lost.quota ? NO_ROOM : say("{why} This was not kept; the job is kept as it was before.", { why: lost.message }), true, kind);
      tell(say("not saved"), true);
      return false;
    }
  }

  // Said where the picture was taken or chosen, and to all that read aloud: the top of a long page is not where one looks.
  function fault(text, toSave = false, kind = "") {
    const place = items.get(kind)?.node.querySelector(".phone-two");
    const [said, out] = [part("fault"), part("out")];
    if (text) (place ?? part("unknown")).after(said, out);
    said.textContent = text;
    said.hidden = !text;
    out.hidden = !toSave;
    if (text && place) said.scrollIntoView({ block: "nearest" });
  }

  const mark = (kind) => change((next) => (next.camera = { kind, at: new Date().toISOString() }), save, true);
  const unmark = () => change((next) => (next.camera = null), save, true).catch(() => {});

  // instead: the id of the picture that this one takes the place of
  async function add(kind, file, from, instead) {
    const made = await shrunk(file);
    if (draft.photos.some((one) => one.sha256 === made.sha256)) throw new Error(say("That picture is in this job already."));
    if (!hasPlace(draft.photos, instead)) throw new Error(FULL);
    const { bytes, type, width, height, sha256 } = made;
    const chosen = draft.photos.some((one) => one.id === instead && one.chosen);
    const photo = { id: newId(), sha256, kind, note: "", chosen, taken_at: whenTaken(file, from), width, height, size: bytes.byteLength };
    const own = { id: photo.id, draft: draft.id, sha256, kind, bytes, type };
    const good = await changeAndSay(
      (next) => Object.assign(next, { photos: [...next.photos, photo], camera: null }),
      (next) => store.putTogether([["photos", own], ["drafts", next]]),
      kind,
    );
    if (good) kept.set(photo.id, own);
    return good ? photo : null;
  }

  async function addAll(kind, files, from, instead) {
    const item = items.get(kind);
    const faults = [];
    for (const [nth, file] of files.entries()) {
      item.busy(files.length > 1 ? say("Keeping picture {number} of {count}", { number: nth + 1, count: files.length }) : say("Keeping the picture"));
      try {
        const photo = await add(kind, file, from, instead);
        if (!photo) break;
        item.shots.append(rowOf(photo));
        if (instead) await remove(instead);
      } catch (refused) {
        faults.push(refused.message);
      }
    }
    if (draft.camera) await unmark();
    if (faults.length) fault([...new Set(faults)].join(" "), false, kind);
    item.busy("");
    tally();
  }

  function rowOf(photo) {
    const number = draft.photos.filter((one) => one.kind === photo.kind).findIndex((one) => one.id === photo.id) + 1;
    const made = shotRow(row("shot"), photo, number, labelOf(photo.kind), {
      bytes: kept.get(photo.id)?.bytes,
      seen: whereSeen(draft, photo),
      says: photo.former && fromWhen(photo),
      again: (input) => opens(input, photo.kind, "camera", photo.id),
      change: (id, what) => changeAndSay((next) => Object.assign(next.photos.find((one) => one.id === id) ?? {}, what)).then(() => Object.assign(photo, draft.photos.find((one) => one.id === id))),
      remove,
    });
    rows.set(photo.id, made);
    if (!open) for (const one of made.node.querySelectorAll("input, button")) one.disabled = true;
    return made.node;
  }

  // Taken out of the job at once; its bytes stay until one leaves this view, so that it can be put back.
  async function remove(id) {
    const at = draft.photos.findIndex((one) => one.id === id);
    const photo = draft.photos[at];
    if (!photo || !(await changeAndSay((next) => next.photos.splice(next.photos.findIndex((one) => one.id === id), 1)))) return;
    removed.set(id, photo);
    const gone = row("removed");
    const undo = gone.querySelector("button");
    gone.querySelector("[data-words]").textContent = say("Removed: {name}.", { name: rows.get(id).node.querySelector("[data-name]").textContent });
    undo.addEventListener("click", async () => {
      if (!hasPlace(draft.photos)) return fault(FULL, false, photo.kind);
      if (!(await changeAndSay((next) => next.photos.splice(at, 0, photo)))) return;
      removed.delete(id);
      gone.replaceWith(rowOf(photo));
      rows.get(id).node.querySelector("[data-remove]").focus();
      tally();
    });
    rows.get(id).close();
    rows.get(id).node.replaceWith(gone);
    undo.focus();
    tally();
  }

  function opens(input, kind, from, instead = "") {
    input.disabled = !open;
    opensAfter(input, {
      keep: () => mark(kind),
      forget: unmark,
      lost: (why) => fault(why.quota ? NO_ROOM : say("{why} The camera was not opened.", { why: why.message }), true, kind),
    });
    input.addEventListener("change", () => {
      const files = [...input.files];
      input.value = "";
      if (files.length) adding = Promise.all([adding, addAll(kind, files, from, instead)]);
    });
  }

  function itemOf(picture) {
    const item = pictureItem(row("picture"), picture, opens);
    item.shots.append(...draft.photos.filter((one) => one.kind === picture.kind).map(rowOf));
    return item;
  }

  function labelOf(kind) {
    const known = wanted.find((one) => one.kind === kind)?.label ?? kind.replaceAll("_", " ");
    return known.charAt(0).toUpperCase() + known.slice(1);
  }

  function lay() {
    const at = document.activeElement;
    const extra = [...new Set(draft.photos.map((one) => one.kind))].filter((kind) => !wanted.some((one) => one.kind === kind));
    const all = [...wanted, ...extra.map((kind) => ({ kind, label: labelOf(kind), hint: "", asked: false }))];
    for (const one of all) if (!items.has(one.kind)) items.set(one.kind, itemOf(one));
    const first = all.filter((one) => !told || one.asked || draft.photos.some((photo) => photo.kind === one.kind));
    part("list").replaceChildren(...first.map((one) => items.get(one.kind).node));
    const others = all.filter((one) => !first.includes(one));
    part("others").replaceChildren(...others.map((one) => items.get(one.kind).node));
    part("others-part").hidden = !others.length;
    if (node.contains(at)) at.focus({ preventScroll: true });
    tally();
  }

  function tally() {
    const of = (kind) => draft.photos.filter((one) => one.kind === kind);
    const many = (kind) => of(kind).length;
    for (const [kind, item] of items) {
      const asked = wanted.find((one) => one.kind === kind)?.asked;
      item.state(many(kind) ? stateOf(of(kind)) : "");
      item.node.toggleAttribute("data-wanted", Boolean(asked) && !many(kind));
      item.more(many(kind) ? say("Take another picture") : say("Take a picture"));
    }
    const asked = wanted.filter((one) => one.asked);
    const missing = asked.filter((one) => !many(one.kind));
    const total = totalOf(draft.photos);
    const labels = missing.map((one) => one.label).join("; ");
    // More than a few are read where each is taken.
    const counted = say("Still wanted: {count} of {all}.", { count: missing.length, all: asked.length });
    const left = missing.length > NAMED ? counted : labels ? say("Still wanted: {labels}.", { labels }) : say("None is still wanted.");
    part("tally").textContent = told ? `${total} ${left}` : total;
  }

  async function learn() {
    try {
      const found = await ask({ do: "photos", answers: draft.answers });
      if (found.error) throw new Error(found.error);
      wanted = found.wanted;
      told = true;
      node.toggleAttribute("data-kind-known", true);
      part("unknown").hidden = true;
    } catch (why) {
      const says = why.soon || say("Which pictures this job wants cannot be told now: {why}", { why: sentence(why) });
      part("unknown").textContent = say("{why} Here are all kinds; take what you see.", { why: says });
      part("unknown").hidden = false;
      if (!closed) again = setTimeout(() => learn().then(layAgain), AGAIN_MS);
    }
  }

  // Not under the thumb of somebody who has a camera open.
  function layAgain() {
    if (closed || !told) return;
    if (draft.camera) again = setTimeout(layAgain, AGAIN_MS);
    else lay();
  }

  // Bytes of no picture of this job: taken out earlier, by a page that was ended before it could tidy up.
  async function sweep() {
    const there = (await store.get("drafts", draft.id))?.photos ?? draft.photos;
    for (const id of kept.keys()) {
      if (!there.some((one) => one.id === id)) await store.remove("photos", id).catch(() => {});
    }
  }

  function sayBack() {
    if (!back) return;
    part("back").textContent = say("You were at: {picture}. The browser closed this page while the camera was open. Nothing of the job was lost, but that picture did not arrive: take it again, or choose it if the phone's gallery has it.", { picture: labelOf(back.kind) });
    part("back").hidden = false;
    items.get(back.kind)?.node.querySelector(".phone-two").before(part("back"));
  }

  part("save-file").addEventListener("click", () => toFile?.());
  if (open) await sweep();
  else fault(say("This job is on its way, and its pictures cannot be changed now."));
  const learning = learn();
  await Promise.race([learning, new Promise((enough) => setTimeout(enough, AGAIN_MS / 4))]);
  lay();
  if (!told) learning.then(layAgain);
  sayBack();
  if (back && open) unmark();

  return {
    node,
    // A picture that is still being made small is waited for: nobody takes it again by himself.
    rest: () => adding.then(() => line),
    ready() {
      const item = back && items.get(back.kind);
      if (!item) return false;
      for (let fold = item.node.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
      item.node.scrollIntoView({ block: "center" });
      item.camera.focus({ preventScroll: true });
      return true;
    },
    async close() {
      closed = true;
      clearTimeout(again);
      for (const one of rows.values()) {
        one.flush();
        one.close();
      }
      await adding;
      await line;
      for (const id of removed.keys()) await store.remove("photos", id).catch(() => {});
      kept = new Map();
    },
  };
}
