// A section that judges while one types. Without this script the same form works by its button.

import { answerOf, offerChips, showFault, typedAgain } from "./fields.js";
import { judge, Unreachable } from "./judge.js";

const WAIT_MS = 250;
const RETRY_MS = [1000, 2000, 5000, 10000];

const form = document.querySelector("form[data-answers]");
const secret = document.querySelector('meta[name="csrf-token"]').content;
const saved = form.querySelector("[data-saved]");
const revisionBox = form.elements.revision;
const boxes = new Map([...form.querySelectorAll("[data-q]")].map((box) => [box.dataset.q, box]));

let waiting = new Map();
let timer = 0;
let tries = 0;
let busy = false;

document.documentElement.classList.add("scripted");

for (const box of boxes.values()) {
  const chosen = box.querySelector(`input[type="radio"][name="${box.dataset.q}"]:checked`);
  box.dataset.chosen = chosen ? chosen.value : "";
  offerChips(box, () => note(box));
  box.addEventListener("input", (event) => {
    if (event.target.closest(".box")) typedAgain(box);
    note(box);
  });
  box.addEventListener("change", () => note(box));
  box.addEventListener("click", (press) => clearOnSecondTap(box, press));
}

// With the script a second tap on the chosen answer takes it away; without it there is a "No answer" to choose.
function clearOnSecondTap(box, press) {
  const radio = press.target.closest?.('input[type="radio"]');
  if (!radio || radio.name !== box.dataset.q) return;
  if (box.dataset.chosen === radio.value) {
    const none = box.querySelector(`input[type="radio"][name="${radio.name}"][value=""]`);
    none.checked = true;
    box.dataset.chosen = "";
    note(box);
  } else {
    box.dataset.chosen = radio.value;
  }
}

function note(box) {
  const answer = answerOf(box);
  if (answer === undefined) return;
  waiting.set(box.dataset.q, answer);
  say("");
  clearTimeout(timer);
  timer = setTimeout(send, WAIT_MS);
}

async function send(parting = false) {
  if (!waiting.size || (busy && !parting)) return;
  const going = waiting;
  waiting = new Map();
  busy = true;
  try {
    const wish = { changes: Object.fromEntries(going), revision: Number(revisionBox.value), section: form.dataset.section };
    const told = await judge(form.dataset.answers, wish, secret, parting);
    tries = 0;
    show(told, going);
    say(`saved ${new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" })}`);
  } catch (fault) {
    if (fault instanceof Unreachable) {
      for (const [name, answer] of going) if (!waiting.has(name)) waiting.set(name, answer);
      const pause = RETRY_MS[Math.min(tries, RETRY_MS.length - 1)];
      tries += 1;
      say(`not saved: ${fault.message}. Trying again.`, true);
      timer = setTimeout(send, pause);
    } else {
      say(`not saved: ${fault.message}`, true);
    }
  } finally {
    busy = false;
  }
  if (waiting.size && !tries) {
    clearTimeout(timer);
    timer = setTimeout(send, WAIT_MS);
  }
}

function say(text, bad = false) {
  saved.textContent = text;
  saved.toggleAttribute("data-bad", bad);
}

function show(told, sent) {
  revisionBox.value = told.revision;
  for (const name of sent.keys()) {
    const box = boxes.get(name);
    const clash = told.clashes[name];
    const fault = clash === undefined ? told.errors[name] : `a choice: meanwhile ${clash} was saved from another device`;
    if (box && !waiting.has(name)) showFault(box, fault ?? "");
  }
  form.elements.seen.value = told.seen;
  for (const [name, box] of boxes) {
    const wanted = told.asked[name];
    const held = box.contains(document.activeElement);
    if (wanted || !held) box.hidden = !wanted && !box.classList.contains("field-error");
    swap(box.querySelector("[data-said]"), under(told, name));
  }
  swap(form.querySelector("[data-section-html]"), told.sections[form.dataset.section]);
  swap(document.querySelector("[data-hazard]"), told.hazard);
  for (const one of form.querySelectorAll("[data-count]")) one.textContent = told.counts[one.dataset.count];
}

function under(told, name) {
  const flag = told.flags[name];
  if (!flag) return told.said[name] ?? "";
  const line = document.createElement("p");
  line.className = "flag";
  line.textContent = flag;
  return (told.said[name] ?? "") + line.outerHTML;
}

function swap(place, html) {
  if (!place || place.dataset.now === html) return;
  const open = new Set([...place.querySelectorAll("details[open] > summary")].map((one) => one.textContent));
  place.innerHTML = html ?? "";
  place.dataset.now = html ?? "";
  for (const one of place.querySelectorAll("details > summary")) {
    if (open.has(one.textContent)) one.parentElement.open = true;
  }
}

window.addEventListener("online", () => send());
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "hidden") send(true);
});
window.addEventListener("pagehide", () => send(true));
form.addEventListener("submit", () => clearTimeout(timer));
