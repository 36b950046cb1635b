// What a script adds to a question's field: chips, today's date, keys, a timer, a barcode reader, straps on the drawing, and a second tap that clears a choice.

import { offerCode } from "./codes.js";
import { offerChips, offerExcuse, offerToday, typedAgain } from "./fields.js";
import { offerOnward } from "./onward.js";
import { offerPad } from "./pad.js";
import { offerSpillTimer } from "./spill-timer.js";
import { offerStraps } from "./straps.js";

const DOUBLE_TAP_MS = 600;

// changed(box) is called whenever what stands in the question's boxes may have changed.
export function decorate(box, changed) {
  const note = () => changed(box);
  const chosen = box.querySelector(`input[type="radio"][name="${box.dataset.q}"]:checked`);
  box.dataset.chosen = chosen ? chosen.value : "";
  const retyped = () => {
    typedAgain(box);
    note();
  };
  offerChips(box, retyped);
  offerToday(box, note);
  offerPad(box, retyped);
  offerOnward(box);
  offerExcuse(box);
  offerSpillTimer(box);
  offerCode(box, note);
  offerStraps(box, retyped);
  box.addEventListener("input", (event) => {
    if (event.target.closest(".box")) typedAgain(box);
    note();
  });
  box.addEventListener("change", note);
  const tapped = { at: -DOUBLE_TAP_MS };
  box.addEventListener("click", (press) => clearOnSecondTap(box, press, tapped, note));
}

// With the script a second tap on the chosen answer takes it away; without it there is a "No answer" to choose.
// A gloved finger often taps twice: what comes so soon after the tap before it is the same tap.
function clearOnSecondTap(box, press, tapped, note) {
  const radio = press.target.closest?.('input[type="radio"]');
  if (!radio || radio.name !== box.dataset.q) return;
  const soon = press.timeStamp - tapped.at < DOUBLE_TAP_MS;
  tapped.at = press.timeStamp;
  if (box.dataset.chosen === radio.value) {
    if (soon) return;
    const none = box.querySelector(`input[type="radio"][name="${radio.name}"][value=""]`);
    none.checked = true;
    box.dataset.chosen = "";
    note();
  } else {
    box.dataset.chosen = radio.value;
  }
}
