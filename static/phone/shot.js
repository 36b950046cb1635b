// One picture of a job as it stands in the list: itself, small; its note; whether it goes on the certificate.

import { say } from "../say.js";
import { oneLine } from "./one-line.js";

const PAUSE_MS = 250;
const MOST_NOTE = 200;
const KILO = 1000;

// fill: the row's own markup; bytes: its picture, or undefined where this phone has not got it (any more)
// seen: where one that lies at the office is seen, and says: what it is; again(input) opens the camera for one in its place
// change(id, what) saves what is changed of it; remove(id) takes it out
// returns {node, flush, close}
export function shotRow(node, photo, number, label, { bytes, seen, says, again, change, remove }) {
  const part = (name) => node.querySelector(`[data-${name}]`);
  const name = say("{label}, picture {number}", { label, number });
  const note = part("note");
  const chosen = part("chosen");
  let waiting = 0;
  let address = "";

  node.dataset.shot = photo.id;
  part("name").textContent = name;
  part("again-part").hidden = !seen;
  if (seen) again(part("again"));
  part("again").setAttribute("aria-label", say("Take {name} again", { name }));
  part("size").textContent = says ?? `${photo.width} x ${photo.height}, ${Math.max(1, Math.round(photo.size / KILO))} KB`;
  show(part("picture"));
  note.value = photo.note;
  note.maxLength = MOST_NOTE;
  note.setAttribute("aria-label", say("Note to {name}", { name }));
  chosen.checked = photo.chosen;
  chosen.setAttribute("aria-label", `${say("Show on the certificate")}: ${name}`);
  part("remove").setAttribute("aria-label", say("Remove {name}", { name }));
  note.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(flush, PAUSE_MS);
  });
  note.addEventListener("blur", flush);
  chosen.addEventListener("change", () => change(photo.id, { chosen: chosen.checked }));
  part("remove").addEventListener("click", () => {
    flush();
    remove(photo.id);
  });

  function show(image) {
    const instead = (className, textContent) => image.replaceWith(Object.assign(document.createElement("p"), { className, textContent }));
    if (seen && !bytes) {
      image.alt = name;
      image.addEventListener("error", () => instead("quiet", say("The picture is at the office. It is seen with a connection, and goes along all the same.")), { once: true });
      image.src = seen;
      return;
    }
    if (!bytes) {
      instead("error", say("The picture itself is not on this phone any more. Remove it and take it again."));
      return;
    }
    address = URL.createObjectURL(new Blob([bytes], { type: "image/jpeg" }));
    image.alt = name;
    for (const done of ["load", "error"]) image.addEventListener(done, close, { once: true });
    image.src = address;
  }

  function flush() {
    clearTimeout(waiting);
    waiting = 0;
    const said = oneLine(oneLine(note.value).slice(0, MOST_NOTE));
    if (said !== photo.note) change(photo.id, { note: said });
  }

  // What is shown stays shown; its address is given back.
  function close() {
    if (address) URL.revokeObjectURL(address);
    address = "";
  }

  return { node, flush, close };
}
