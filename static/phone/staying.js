// What the list of jobs says of this phone: what it cannot do, whether it may forget, and how to keep the pages at hand.

import { applesOwn, lacks } from "./able.js";

let offered = null;
let hear = () => {};

window.addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault();
  offered = event;
  hear();
});
window.addEventListener("appinstalled", () => {
  offered = null;
  hear();
});

// node: the part of the list for it; jobs: whether any job is on this phone
export async function sayOfPhone(node, jobs) {
  const part = (name) => node.querySelector(`[data-${name}]`);
  const lines = lacks().map((says) => Object.assign(document.createElement("p"), { className: "notice", textContent: says }));
  part("lacks").replaceChildren(...lines);
  part("apple").hidden = !applesOwn();
  hear = () => (part("install").hidden = !offered);
  hear();
  part("install").addEventListener("click", async () => {
    const asked = offered;
    offered = null;
    hear();
    await asked?.prompt();
  });
  part("forgets").hidden = !jobs || (await staysKept());
}

// Whether the browser promises not to clear away what is kept when it runs short of room.
export async function staysKept() {
  try {
    return (await navigator.storage.persisted()) || (await navigator.storage.persist());
  } catch {
    return false;
  }
}
