// The drawn signatures of a job's signing page, carried in its form; the homeowner's part; when a picture was taken.

import { offerPad } from "./ink.js";
import { tooLarge } from "./too-large.js";

for (const holder of document.querySelectorAll(".draw-field")) {
  const kept = holder.querySelector('input[type="hidden"]');
  const drawn = (strokes) => (kept.value = strokes.length ? JSON.stringify(strokes) : "");
  offerPad(holder, drawn, kept.value ? JSON.parse(kept.value) : []);
}

const receipt = document.querySelector("[data-receipt]");
const form = receipt.closest("form");
const showReceipt = () => (receipt.hidden = form.elements.homeowner.value !== "signs");
form.addEventListener("change", showReceipt);
showReceipt();

for (const input of form.querySelectorAll('input[type="file"]')) {
  input.addEventListener("change", () => {
    const at = input.files[0]?.lastModified;
    form.elements[input.name.replace(/again$/, "at")].value = at > 0 && at <= Date.now() ? new Date(at).toISOString() : "";
  });
}

const fault = form.querySelector("[data-too-large]");
form.addEventListener("submit", (going) => {
  if (!fault) return;
  const files = [...form.querySelectorAll('input[type="file"]')].flatMap((input) => [...input.files]);
  fault.textContent = tooLarge(files, Number(fault.dataset.tooLarge));
  fault.hidden = !fault.textContent;
  if (fault.textContent) going.preventDefault();
});
