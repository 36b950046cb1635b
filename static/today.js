// What day it is: by the firm's own zone where it is known, for papers are dated by it; else by this device's own clock.

// A clock that is wrong by less than this is not wrong by a day anywhere but around midnight.
const LOOSE_MS = 10 * 60_000;
const FURTHEST_AHEAD_MS = 14 * 3_600_000;
let firm = null;

// account  {firm: {time_zone}, now, heard} as the server told it: now by its clock, heard by this device's in the same moment;
//          a firm that named no zone yet is refused no day that it is anywhere, as at the office
export function goByTheFirm(account) {
  firm = account;
}

// The day by which the office takes or refuses a date of work, as an ISO date.
export function dayThere(now = new Date()) {
  const zone = firm?.firm?.time_zone;
  if (zone === "") return new Date(mayBe(now).latest.getTime() + FURTHEST_AHEAD_MS).toISOString().slice(0, 10);
  return zone === undefined ? dayHere(now) : dayIn(zone, mayBe(now).latest);
}

// The day to fill in: never one that the office would say is still to come.
export function today(now = new Date()) {
  const [zone, there] = [firm?.firm?.time_zone, dayThere(now)];
  if (zone === "") return dayHere(now) < there ? dayHere(now) : there;
  return zone === undefined ? there : dayIn(zone, mayBe(now).earliest);
}

function dayHere(now) {
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

// A browser that does not know the zone goes by its own clock.
function dayIn(timeZone, now) {
  try {
    const parts = new Intl.DateTimeFormat("en", { timeZone, calendar: "gregory", numberingSystem: "latn", year: "numeric", month: "2-digit", day: "2-digit" }).formatToParts(now);
    const part = (name) => parts.find(({ type }) => type === name).value;
    return `${part("year")}-${part("month")}-${part("day")}`;
  } catch {
    return dayHere(now);
  }
}

// This device's clock may be wrong by hours; one that was set back since was mended, and is believed. One that was behind
// is so still until it shows the moment that was told; from then on it may have been set forward, which nothing here
// tells: a day is filled in by what it shows, and none is refused that may have come.
function mayBe(now) {
  const [heard, told] = [Date.parse(firm.heard ?? ""), Date.parse(firm.now ?? "")];
  const wrong = heard - told;
  const righted = new Date(now.getTime() - wrong);
  if (!(Math.abs(wrong) > LOOSE_MS) || (wrong > 0 && now.getTime() < heard)) return { earliest: now, latest: now };
  return { earliest: wrong < 0 && now.getTime() >= told ? now : righted, latest: righted };
}
