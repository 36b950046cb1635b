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
  if (zone === "") return new Date(righted(now).getTime() + FURTHEST_AHEAD_MS).toISOString().slice(0, 10);
  return zone === undefined ? dayHere(now) : dayIn(zone, righted(now));
}

// The day to fill in: never one that the office would say is still to come.
export function today(now = new Date()) {
  const there = dayThere(now);
  return firm?.firm?.time_zone === "" && dayHere(now) < there ? dayHere(now) : there;
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

// This device's clock may be wrong by hours; one that was set back since was mended, and is believed.
function righted(now) {
  const heard = Date.parse(firm.heard ?? "");
  const wrong = heard - Date.parse(firm.now ?? "");
  return Math.abs(wrong) > LOOSE_MS && now.getTime() >= heard ? new Date(now.getTime() - wrong) : now;
}
