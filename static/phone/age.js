// How long a signed job has waited on this phone, in words; a day is loud, four days fill the screen.

import { say } from "../say.js";

const HOUR_S = 3_600;
export const LOUD_S = 24 * HOUR_S;
export const FULL_S = 4 * 24 * HOUR_S;

export function inWords(seconds) {
  const hours = Math.floor(seconds / HOUR_S);
  if (hours < 24) return hours === 1 ? say("1 hour") : say("{hours} hours", { hours });
  const days = Math.floor(hours / 24);
  return days === 1 ? say("1 day") : say("{days} days", { days });
}
