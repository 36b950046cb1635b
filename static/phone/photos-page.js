// The page of a job's photos.

import { say } from "../say.js";
import { addressOf } from "./drafts.js";
import { saveToFile } from "./file.js";
import { holdAlone } from "./one-tab.js";
import { photosView } from "./photos.js";

export async function photosPage(app, draft) {
  const node = document.createElement("div");
  node.append(app.template("photos"));
  const saved = node.querySelector("[data-saved]");
  const rows = new Map([...node.querySelectorAll("template[data-row]")].map((one) => [one.dataset.row, one]));
  node.querySelector("[data-address]").textContent = addressOf(draft);
  node.querySelector("[data-back]").href = `#/${draft.id}/review`;
  const tell = (text, bad = false) => {
    saved.textContent = text;
    saved.toggleAttribute("data-bad", bad);
  };
  const view = await photosView({
    draft,
    store: app.store,
    save: (next) => app.store.put("drafts", next),
    ask: app.ask,
    tell,
    row: (name) => rows.get(name).content.firstElementChild.cloneNode(true),
    listed: app.settings.photos,
    toFile: () => saveToFile(app, draft),
  });
  node.querySelector("[data-photos-part]").append(view.node);
  holdAlone(draft.id, () => {
    for (const one of view.node.querySelectorAll("input, button")) one.disabled = true;
    tell(say("This job was opened in another tab. Its pictures are kept; go on there."), true);
  });
  return { ...view, node, title: say("Photos, {address}", { address: addressOf(draft) }) };
}
