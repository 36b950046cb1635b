// What this browser cannot do here, and what works all the same; each lack as one sentence for a person.

import { say } from "../say.js";

export function lacks(browser = globalThis) {
  const found = [];
  if (!browser.isSecureContext) {
    found.push(
      say("This address is not secure (no https), so the browser keeps no page for use without signal and signs nothing here. Open the https address; or use the jobs on line, which work."),
    );
  } else if (!browser.navigator.serviceWorker || !browser.caches) {
    found.push(say("This browser does not keep pages: without signal this one will not open again. With a signal everything works."));
  } else if (!browser.crypto?.subtle) {
    found.push(say("This browser computes no checksums, so nothing can be signed or sent from here. The jobs on line work."));
  }
  if (!browser.WebAssembly) found.push(say("This browser cannot judge on the phone itself: it asks the office, with a signal. What you type is kept without."));
  return found;
}

// The words for keeping the pages on an iPhone's or iPad's home screen, where the browser offers nothing itself.
export function applesOwn(browser = globalThis) {
  return browser.navigator.standalone === false;
}
