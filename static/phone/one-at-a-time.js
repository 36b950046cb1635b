// One sending at a time on this phone, however many tabs are open: by the browser's own locks, else by a row in the
// store that says who sends and until when.

const NAME = "heaterapp-outbox";
const LEASE_MS = 60_000;
const SETTLE_MS = 150;

// returns  turn(act): runs act(renew) if nobody else sends, and says whether it did
export function oneAtATime({ store, now, random, locks = globalThis.navigator?.locks, wait = pause }) {
  const me = `${random()}${random()}`;

  async function byLock(act) {
    return locks.request(NAME, { ifAvailable: true }, async (lock) => {
      if (!lock) return false;
      await act(async () => {});
      return true;
    });
  }

  const row = () => ({ key: NAME, owner: me, until: now() + LEASE_MS });

  // A lease that ends too far ahead was written by another clock than now's: it holds nobody up.
  const heldByOther = (lease) => lease && lease.owner !== me && lease.until > now() && lease.until - now() <= LEASE_MS;

  async function byLease(act) {
    if (heldByOther(await store.get("kept", NAME))) return false;
    // Another tab may write the same row in this moment: what stands there afterwards decides.
    await store.put("kept", row()).catch(() => {});
    await wait(SETTLE_MS);
    if ((await store.get("kept", NAME))?.owner !== me) return false;
    try {
      await act(() => store.put("kept", row()).catch(() => {}));
    } finally {
      await store.remove("kept", NAME);
    }
    return true;
  }

  return (act) => (locks ? byLock(act) : byLease(act));
}

function pause(ms) {
  return new Promise((done) => setTimeout(done, ms));
}
