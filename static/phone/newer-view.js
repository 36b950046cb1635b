// A job kept by a newer version of these pages than this one: shown, not changed, and to be saved to a file.

import { say } from "../say.js";
import { addressOf } from "./drafts.js";
import { saveToFile } from "./file.js";

export async function newerView(app, draft) {
  const node = document.createElement("div");
  node.append(app.template("newer"));
  const part = (name) => node.querySelector(`[data-${name}]`);
  const said = { ...draft.answers, ...draft.typed };
  part("address").textContent = addressOf({ typed: {}, answers: {}, ...draft });
  const labels = labelsOf(app);
  for (const [name, answer] of Object.entries(said)) {
    const [word, value] = [document.createElement("dt"), document.createElement("dd")];
    word.textContent = labels.get(name) ?? name.replaceAll("_", " ");
    value.textContent = typeof answer === "string" ? answer : JSON.stringify(answer);
    part("answers").append(word, value);
  }
  part("save").addEventListener("click", () => {
    saveToFile(app, draft).catch((fault) => app.tell(fault.message, true));
  });
  return { node, title: say("Made by a newer version, {address}", { address: part("address").textContent }), rest: async () => {} };
}

function labelsOf(app) {
  const found = new Map();
  for (const section of Object.keys(app.settings.sections)) {
    for (const box of app.template(`section-${section}`).querySelectorAll("[data-q]")) {
      found.set(box.dataset.q, box.querySelector(".label")?.textContent.trim());
    }
  }
  return found;
}
