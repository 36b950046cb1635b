// The one place where answers are judged. Today the server does it; the phone's own engine can take its place
// here: it takes a wish {changes, revision, section} and gives what the page shows.

import { say } from "./say.js";

export class Unreachable extends Error {}

export async function judge(address, wish, secret, parting = false) {
  let answer;
  try {
    answer = await fetch(address, {
      method: "POST",
      headers: { "Content-Type": "application/json", Accept: "application/json", "X-CSRFToken": secret },
      body: JSON.stringify(wish),
      keepalive: parting,
      credentials: "same-origin",
    });
  } catch {
    throw new Unreachable(say("no connection"));
  }
  let told = {};
  try {
    told = await answer.json();
  } catch {
    throw new Unreachable(say("the answer could not be read"));
  }
  if (answer.ok) return told;
  const says = typeof told.error === "string" ? told.error : say("the server said {code}", { code: answer.status });
  if (answer.status >= 500 || answer.status === 429) throw new Unreachable(says);
  throw new Error(says);
}
