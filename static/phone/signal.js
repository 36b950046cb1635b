// Whether there is a connection, as far as this page knows: by the phone's own word, and by whether the last call came back.

const hearers = new Set();
let there = globalThis.navigator?.onLine !== false;

export const hasSignal = () => there && globalThis.navigator?.onLine !== false;

export function onSignal(hear) {
  hearers.add(hear);
  hear(there);
}

export function met(answered) {
  if (there === answered) return;
  there = answered;
  for (const hear of hearers) hear(there);
}

globalThis.addEventListener?.("online", () => met(true));
globalThis.addEventListener?.("offline", () => met(false));
