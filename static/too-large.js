// Pictures that are too large together for one form are told before they are sent: the server would refuse the whole unread.

import { say } from "./say.js";

const MB = 1_000_000;

// files    the pictures that were chosen
// most     how many bytes they may have together
// returns  what to say; "" where they fit
export function tooLarge(files, most) {
  const all = files.reduce((sum, one) => sum + one.size, 0);
  if (all <= most) return "";
  return say("The pictures are {size} MB together, and at most {most} MB are taken. Nothing was sent. Choose smaller ones, or leave some out.", { size: Math.ceil(all / MB), most: most / MB });
}
