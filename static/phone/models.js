// The plates of models that were fitted before, offered at the model's name: one tap fills what the model has in common.
// What that is, and that it is kept as accepted, the door says (filling/models.py).

import { say } from "../say.js";

const MOST = 5;
const plain = (text) => String(text ?? "").toLowerCase().replace(/[^\p{L}\p{N}]+/gu, "");

// box     the field of heater_model
// models  plates, newest first; kind: the heater's kind, or nothing while it is not known
// fill    is told the plate that was chosen
export function offerModels(box, { models, kind, fill }) {
  if (box.dataset.q !== "heater_model" || !models?.length) return () => {};
  const typed = box.querySelector("input");
  const row = document.createElement("div");
  row.className = "models";
  row.setAttribute("role", "group");
  row.setAttribute("aria-label", say("Models fitted before"));
  const says = document.createElement("p");
  says.className = "models-says quiet";
  says.setAttribute("role", "status");
  typed.after(row, says);

  function fits(plate) {
    const wanted = plain(typed.value);
    if (kind?.() && plate.heater_kind && plate.heater_kind !== kind()) return false;
    return !wanted || plain(plate.heater_model).includes(wanted) || plain(`${plate.heater_maker ?? ""}${plate.heater_model}`).includes(wanted);
  }

  function show() {
    const found = models.filter((plate) => plate.heater_model && fits(plate)).slice(0, MOST);
    const chosen = found.length === 1 && plain(found[0].heater_model) === plain(typed.value);
    row.hidden = !found.length || (chosen && typed !== document.activeElement);
    row.replaceChildren(...found.map(chip));
  }

  function chip(plate) {
    const one = document.createElement("button");
    one.type = "button";
    one.className = "chip model";
    const name = document.createElement("b");
    name.textContent = [plate.heater_maker, plate.heater_model].filter(Boolean).join(" ");
    const size = [[plate.storage_gal, "gal"], [plate.input_btuh && Number(plate.input_btuh).toLocaleString("en-US"), "Btu/h"], [plate.input_kw, "kW"]];
    const line = document.createElement("span");
    line.className = "quiet";
    line.textContent = size.filter(([value]) => value).map(([value, unit]) => `${value} ${unit}`).join(", ");
    one.append(name, line);
    one.addEventListener("click", () => {
      says.textContent = say("Filled in as on the last one, as accepted: hold it against this plate. The serial number is this heater's own.");
      fill(plate);
      show();
    });
    return one;
  }

  row.addEventListener("mousedown", (press) => press.preventDefault());
  typed.addEventListener("input", show);
  typed.addEventListener("shown", show);
  show();
  return show;
}
