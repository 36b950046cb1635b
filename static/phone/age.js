// How long a signed job has waited on this phone. A clock that was set back or forward since must not hide it.

const HOUR_MS = 3_600_000;
export const LOUD_MS = 24 * HOUR_MS;
export const FULL_MS = 4 * 24 * HOUR_MS;

// The older of what the device says and what the account last told of the server's time.
export function waitedFor(draft, now = Date.now(), serverNow = null) {
  if (!draft.ready_at) return 0;
  const since = Date.parse(draft.ready_at);
  const ages = [now - since, serverNow === null ? 0 : serverNow - since, draft.waited_ms ?? 0];
  return Math.max(0, ...ages.filter(Number.isFinite));
}

export function inWords(ms) {
  const hours = Math.floor(ms / HOUR_MS);
  if (hours < 24) return hours === 1 ? "1 hour" : `${hours} hours`;
  const days = Math.floor(hours / 24);
  return days === 1 ? "1 day" : `${days} days`;
}
