// Two devices answered the same job: what stands on this phone and what stands at the office, field by field.

import { say } from "../say.js";
import { addressOf } from "./drafts.js";
import { sha256 } from "./sums.js";

export async function clashView(app, draft) {
  const node = document.createElement("div");
  node.append(app.template("clash"));
  node.querySelector("[data-address]").textContent = addressOf(draft);
  const { clashes = {}, there_answers: there = {}, revision } = draft.problem ?? {};
  const list = node.querySelector("[data-clashes]");
  const row = node.querySelector("template");
  const chosen = new Map(Object.keys(clashes).map((name) => [name, null]));
  const done = node.querySelector("[data-done]");

  for (const [name, both] of Object.entries(clashes)) {
    const one = row.content.cloneNode(true);
    one.querySelector("legend").textContent = both.label;
    for (const [side, words] of [["here", both.here], ["there", both.there]]) {
      const pick = one.querySelector(`[value="${side}"]`);
      pick.name = `clash-${name}`;
      pick.nextElementSibling.querySelector("b").textContent = words;
      pick.addEventListener("change", () => {
        chosen.set(name, side);
        done.disabled = [...chosen.values()].includes(null);
      });
    }
    list.append(one);
  }

  done.addEventListener("click", async () => {
    const taken = [...chosen].filter(([, side]) => side === "there").map(([name]) => name);
    for (const name of taken) take(draft, name, there[name]);
    draft.base = { revision, answers: there };
    draft.job ??= draft.id;
    draft.problem = null;
    const again = taken.length > 0 || !draft.parcel;
    if (again) {
      Object.assign(draft, { signatures: null, parcel: null, parcel_sha256: null, ready_at: null, state: "draft", told: null });
    } else {
      // Nothing that was signed has changed: the same signature goes with what stands there now.
      const parcel = JSON.stringify({ ...JSON.parse(draft.parcel), job: draft.job, base: draft.base });
      Object.assign(draft, { parcel, parcel_sha256: await sha256(new TextEncoder().encode(parcel)), state: "ready", next_try_at: null });
    }
    try {
      await app.store.put("drafts", structuredClone(draft));
    } catch (fault) {
      app.tell(fault.message, true);
      return;
    }
    if (again) app.tell(say("The answers you chose are in the job. Look at it and sign again."));
    else app.outbox.sendAll();
    app.go(again ? `${draft.id}/review` : "");
  });
  return { node, title: say("Two answers, {address}", { address: addressOf(draft) }) };
}

function take(draft, name, answer) {
  delete draft.typed[name];
  delete draft.boxes[name];
  if (answer === undefined || answer === null) delete draft.answers[name];
  else draft.answers[name] = answer;
}
