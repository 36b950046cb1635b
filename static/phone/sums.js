// SHA-256, by the browser's own means where it offers them (it does not over plain http on another machine).

import { say } from "../say.js";

export async function sha256(bytes) {
  if (!globalThis.crypto?.subtle) throw new Error(say("this browser cannot compute checksums here: open the app by https"));
  const sum = await crypto.subtle.digest("SHA-256", bytes);
  return [...new Uint8Array(sum)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
