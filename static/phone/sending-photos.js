// The photos of a signed job go first, by what they hold: only those that the server has not got, each by itself.
// One that is not taken is named; the others go all the same.

import { say } from "../say.js";

const LIMIT_MS = 180_000;
const ROUNDS = 3;
const NOT_TAKEN = new Set([413, 415]);

// returns  {refused: [{sha256, kind, says}]} once every other photo is there,
//          or {answer} the answer that stopped it, or {lost: true} where the server never has them all
// raises   Unreachable
export async function sendPhotos({ store, call, draft, renew, listed }) {
  if (!listed.length) return { refused: [] };
  const kept = new Map((await store.photosOf(draft.id)).map((one) => [one.sha256, one]));
  const refused = new Map();
  for (let round = 0; round < ROUNDS; round += 1) {
    const missing = await wanted(call, draft, listed);
    if (missing.answer) return missing;
    const left = missing.sha256.filter((sum) => !refused.has(sum));
    if (!left.length) return { refused: [...refused.values()] };
    for (const sum of left) {
      const photo = kept.get(sum);
      const stopped = photo ? await one(call, photo, listed, refused) : gone(sum, listed, refused);
      if (stopped) return stopped;
      await renew();
    }
  }
  return { lost: true };
}

async function wanted(call, draft, listed) {
  const body = JSON.stringify({ sha256: listed.map((photo) => photo.sha256), draft: draft.id, job: draft.job });
  const answer = await call("photos/wanted", { method: "POST", body });
  if (answer.status !== 200) return { answer };
  const { missing } = answer.told;
  if (!Array.isArray(missing)) return { answer: { ...answer, status: 0 } };
  return { sha256: missing };
}

async function one(call, photo, listed, refused) {
  const answer = await call(`photos/${photo.sha256}`, { method: "PUT", body: photo.bytes, type: photo.type || "image/jpeg", limit: LIMIT_MS });
  if (answer.status === 200 && answer.told.sha256 === photo.sha256) return null;
  if (NOT_TAKEN.has(answer.status)) {
    refused.set(photo.sha256, { sha256: photo.sha256, kind: kindOf(photo.sha256, listed), says: answer.told.error ?? say("It is no photo.") });
    return null;
  }
  // Not whole on arrival: the next round asks for it again.
  if (answer.status === 422 && answer.told.code === "damaged") return null;
  return { answer: answer.status === 200 ? { ...answer, status: 0 } : answer };
}

function gone(sum, listed, refused) {
  refused.set(sum, { sha256: sum, kind: kindOf(sum, listed), says: say("It is not on this phone any more.") });
  return null;
}

function kindOf(sum, listed) {
  return listed.find((photo) => photo.sha256 === sum)?.kind ?? "";
}
