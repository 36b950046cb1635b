// The pictures of the paper that a job had before. They lie at the office and go along with the job by name: no bytes of
// them are on this phone. The paper before keeps its own, whatever is taken out or taken again here.

import { say } from "../say.js";
import { clock, newId } from "./drafts.js";

export const MOST_PHOTOS = 40;

const text = (one) => (typeof one === "string" ? one : "");
export const before = (photos) => photos.filter((one) => text(one.former?.number));
export const onPhone = (photos) => photos.filter((one) => !text(one.former?.number));

// Each picture once, or the office would not take the job.
// told  the pictures as the office gave them with the job
// own   those that the job has on this phone already
export function broughtAlong(told, own = []) {
  const known = new Set(own.map((one) => one.sha256));
  const others = (told ?? []).filter((one) => !known.has(one.sha256) && known.add(one.sha256));
  return others.slice(0, MOST_PHOTOS - own.length).map((one) => ({ id: newId(), ...one }));
}

// Whether one more has a place: a picture taken again takes the place of the one with the id `instead`.
export function hasPlace(photos, instead = "") {
  return photos.filter((one) => one.id !== instead).length < MOST_PHOTOS;
}

// Where a picture is seen with a connection; "" for one that lies on this phone.
export function whereSeen(draft, photo) {
  const [number, file] = [text(photo.former?.number), text(photo.former?.file)].map(encodeURIComponent);
  return number && draft.job ? `/jobs/${draft.job}/papers/${number}/${file}?as=page` : "";
}

export function fromWhen(photo) {
  return say("From {number}, taken {time}", { number: photo.former.number, time: clock(photo.taken_at) });
}

// How many of one kind are here, and how many go along.
export function stateOf(photos) {
  const [here, along] = [onPhone(photos).length, before(photos)];
  const said = [here && say("{count} on this phone", { count: here }), along.length && say("{count} from {number}", { count: along.length, number: along[0].former.number })];
  return said.filter(Boolean).join(", ");
}

export function totalOf(photos) {
  const [count, along] = [onPhone(photos).length, before(photos)];
  const here = count === 1 ? say("1 picture of this job on this phone.") : say("{count} pictures of this job on this phone.", { count });
  return along.length ? [count && here, alongOf(along)].filter(Boolean).join(" ") : here;
}

// What goes along from the paper before; "" where nothing does.
export function alongOf(photos) {
  const along = before(photos);
  const hole = { count: along.length, number: along[0]?.former.number };
  if (!along.length) return "";
  return along.length === 1 ? say("1 picture of {number} goes along.", hole) : say("{count} pictures of {number} go along.", hole);
}
