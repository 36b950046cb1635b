// Whether there is a connection, as far as this page knows: by the phone's own word, and by whether the last call came back.

const hearers = new Set();
const mayHave = () => globalThis.navigator?.onLine !== false;
let there = mayHave();

export const hasSignal = () => there && mayHave();

export function onSignal(hear) {
  hearers.add(hear);
  hear(there);
}

// A call that was under way when the signal went may still come back: it says nothing of now.
export function met(answered) {
  const now = answered && mayHave();
  if (there === now) return;
  there = now;
  for (const hear of hearers) hear(there);
}

globalThis.addEventListener?.("online", () => met(true));
globalThis.addEventListener?.("offline", () => met(false));
