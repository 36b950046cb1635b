// What is too large to come with the pages (their lettering, the engine) is kept in caches of its own, once the form
// can be used. A cache counts when every file of it was fetched whole and is the one that was promised.

import { sha256 } from "./sums.js";

const WHOLE = "/phone/whole";

// groups: the cache's name -> {address: SHA-256}
// returns whether all of it is kept
export async function keepBeside(groups) {
  if (!navigator.serviceWorker || !globalThis.caches) return false;
  let all = true;
  for (const [name, files] of Object.entries(groups)) {
    try {
      await keepGroup(name, files);
    } catch {
      // Without it the pages still work; it is fetched again the next time they open.
      all = false;
    }
  }
  return all;
}

async function keepGroup(name, files) {
  const shelf = await caches.open(name);
  if (await shelf.match(WHOLE)) return;
  for (const [address, sum] of Object.entries(files)) {
    if (await shelf.match(address)) continue;
    const answer = await fetch(address, { cache: "no-store" });
    if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
    if ((await sha256(await answer.clone().arrayBuffer())) !== sum) throw new Error(`${address}: other bytes`);
    await shelf.put(address, answer);
  }
  await shelf.put(WHOLE, new Response(""));
}
