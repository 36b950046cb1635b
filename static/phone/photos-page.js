// The photos of a job on this phone.

import { addressOf } from "./drafts.js";

export async function photosPage(app, draft) {
  const node = document.createElement("div");
  node.append(app.template("photos"));
  node.querySelector("[data-address]").textContent = addressOf(draft);
  node.querySelector("[data-back]").href = `#/${draft.id}/review`;
  return { node, title: `Photos, ${addressOf(draft)}` };
}
