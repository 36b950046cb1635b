// Asks the server, and says what came back in one shape. The proof against forged forms is fetched before the first call
// that needs one: a view may ask for its verdicts sooner than the page has learned who is signed in.

import { language, say } from "../say.js";
import { met } from "./signal.js";

const LIMIT_MS = 30_000;

export class Unreachable extends Error {}

let proof = "";
let asking = null;

// For a form that leaves these pages.
export const proofNow = () => proof;

// returns {status, told, after}: told is the JSON answer, {} where it had none; after is Retry-After in seconds
// raises Unreachable where nothing whole came back: no connection, a cut answer, an answer that is no JSON, a redirect
export async function api(path, { method = "GET", body = null, type = "application/json", limit = LIMIT_MS } = {}) {
  // A page may be in another language than was chosen a moment ago: what it shows is in its own.
  const headers = { Accept: "application/json", "X-Language": language };
  if (body !== null) headers["Content-Type"] = type;
  if (method !== "GET") {
    if (!proof && !(await account())) return { status: 401, told: {}, after: 0 };
    headers["X-CSRFToken"] = proof;
  }
  let answer = null;
  try {
    answer = await fetch(`/phone/api/${path}`, {
      method, body, headers, credentials: "same-origin", cache: "no-store", redirect: "manual", signal: AbortSignal.timeout(limit),
    });
  } catch {
    met(false);
    throw new Unreachable(say("no connection"));
  }
  met(answer.type !== "opaqueredirect");
  if (answer.type === "opaqueredirect") throw new Unreachable(say("the network answered for the server"));
  let told = null;
  try {
    told = await answer.json();
  } catch {
    throw new Unreachable(say("the answer could not be read"));
  }
  if (typeof told !== "object" || told === null) throw new Unreachable(say("the answer could not be read"));
  return { status: answer.status, told, after: Number(answer.headers.get("Retry-After")) || 0 };
}

// Who is signed in, with a fresh proof; null where nobody is. Asked for by several at once, it is asked once.
export function account(limit = LIMIT_MS) {
  asking ??= learn(limit).finally(() => (asking = null));
  return asking;
}

async function learn(limit) {
  const { status, told } = await api("account", { limit });
  if (status === 401) return null;
  if (status !== 200 || typeof told.csrf !== "string") throw new Unreachable(told.error ?? say("the server said {code}", { code: status }));
  proof = told.csrf;
  const { csrf, ...rest } = told;
  return rest;
}
