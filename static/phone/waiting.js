// When a job that could not be sent is tried again, and how long one has waited. No clock is believed alone: the phone's
// may be wrong by a day, and may be set right while a job waits.

const FIRST_MS = 2_000;
const LONGEST_MS = 300_000;
const LONGEST_ASKED_MS = 3_600_000;
const SOON_MS = 250;

// The wait doubles from 2 s to 5 min, a random half of it taken off; the server may ask for up to an hour.
export function nextTry(tries, after_s, now, random) {
  const wait = Math.min(LONGEST_MS, FIRST_MS * 2 ** Math.min(tries - 1, 20));
  const asked = Math.min(LONGEST_ASKED_MS, after_s * 1000);
  return new Date(now + Math.max(asked, wait * (0.5 + random() / 2))).toISOString();
}

// Milliseconds until it is tried. A time further ahead than any wait was written by a clock that was set back since.
export function dueIn(draft, now) {
  if (draft.state !== "retry") return SOON_MS;
  const left = Date.parse(draft.next_try_at ?? "") - now;
  return left > 0 && left <= LONGEST_ASKED_MS ? Math.max(left, SOON_MS) : SOON_MS;
}

export function isDue(draft, now) {
  if (draft.state !== "retry") return draft.state !== "needs_you";
  const left = Date.parse(draft.next_try_at ?? "") - now;
  return !(left > 0 && left <= LONGEST_ASKED_MS);
}

// Seconds unsent: the longer of what the phone's clock says and what the server's says since it first heard of the phone.
// server: {theirs, ours} both clocks in milliseconds at the last contact, or null
export function unsent(draft, now, server) {
  const ours = now - Date.parse(draft.ready_at ?? "");
  const theirs = server ? server.theirs + (now - server.ours) - Date.parse(draft.seen_at ?? "") : NaN;
  return Math.max(0, ...[ours, theirs].filter(Number.isFinite)) / 1000;
}
