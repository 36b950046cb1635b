// One kind of picture as it stands in the list: its name, its two buttons, and the pictures of it.

import { say } from "../say.js";

// made     the item's own markup
// picture  {kind, label, hint}
// opens(input, kind, from)  makes a file input open the camera or the gallery
export function pictureItem(made, picture, opens) {
  const of = (name) => made.querySelector(`[data-${name}]`);
  of("label").textContent = picture.label;
  of("hint").textContent = picture.hint;
  of("choose-file").setAttribute("aria-label", `${say("Choose a picture")}: ${picture.label}`);
  opens(of("take-file"), picture.kind, "camera");
  opens(of("choose-file"), picture.kind, "gallery");
  return {
    node: made,
    shots: of("shots"),
    busy: (text) => (of("busy").textContent = text),
    state: (text) => (of("state").textContent = text),
    camera: of("take-file"),
    more: (text) => {
      of("take-words").textContent = text;
      of("take-file").setAttribute("aria-label", `${text}: ${picture.label}`);
    },
  };
}
