// The day that it is by this device's own clock, as an ISO date.
export function today(now = new Date()) {
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}
