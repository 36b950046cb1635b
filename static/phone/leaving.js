// The pages at the office need a connection: without one a way to them leads nowhere, so it says so and stays here.

import { say } from "../say.js";
import { account } from "./api.js";
import { hasSignal, onSignal } from "./signal.js";

const ASK_MS = 4_000;
const NONE = say("No signal: that page is at the office and opens with a signal only. All that is here works without.");

// tell(text): the line of notices
export function leaveWithSignal(tell) {
  const status = document.querySelector("[data-signal]");
  onSignal((there) => {
    status.textContent = there ? "" : say("No signal");
    for (const link of document.querySelectorAll(".ways a:not([href^='#'])")) {
      if (there) link.removeAttribute("aria-disabled");
      else link.setAttribute("aria-disabled", "true");
    }
    if (there && document.querySelector("[data-line]").textContent === NONE) tell("");
  });
  document.addEventListener("click", async (press) => {
    const link = press.target.closest?.("a[href^='/'], form[action^='/'] button");
    if (!link || hasSignal() || press.defaultPrevented) return;
    press.preventDefault();
    // The last call may have failed for a reason that is gone.
    const back = navigator.onLine !== false && (await account(ASK_MS).then(() => true, hasSignal));
    // Sent as by the press itself: what puts the fresh proof in hears of it.
    if (back && link.form) link.form.requestSubmit(link);
    else if (back) location.assign(link.href);
    else tell(NONE);
  });
}
