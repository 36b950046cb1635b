// What stands in a question's boxes, in the form in which the server reads it.

import { say } from "./say.js";
import { today } from "./today.js";

const LISTS = new Set(["lengths", "two_lengths"]);
const HALVES = { two_lengths: say("both lengths"), sections: say("a size and a load in each row") };

// half  what is given for an answer of which a part is still wanted: called with the part that is there
export function answerOf(box, half = () => undefined) {
  const name = box.dataset.q;
  const kind = box.dataset.kind;
  const said = box.querySelector(`input[name="${name}-said"]:checked`)?.value ?? "";
  if (said === "not_here") return "not_here";
  if (said === "could_not_measure") {
    const why = box.querySelector(`input[name="${name}-why"]`).value.trim();
    return why ? { could_not_measure: why } : half({ could_not_measure: why });
  }
  if (LISTS.has(kind)) {
    const typed = [...box.querySelectorAll(".boxes input")].map((one) => one.value.trim());
    const given = typed.filter(Boolean);
    if (kind === "two_lengths" && given.length === 1) return half(given);
    return given.length ? given : null;
  }
  if (kind === "sections") {
    const typed = [...box.querySelectorAll(".boxes input")].map((one) => one.value.trim());
    const rows = [];
    let whole = true;
    for (let at = 0; at < typed.length; at += 2) {
      const [size, load] = [typed[at], typed[at + 1]];
      if (!size && !load) continue;
      if (!size || !load) whole = false;
      rows.push({ in: size, btuh: load });
    }
    if (!whole) return half(rows);
    return rows.length ? rows : null;
  }
  const radio = box.querySelector(`input[type="radio"][name="${name}"]`);
  if (radio) return box.querySelector(`input[type="radio"][name="${name}"]:checked`)?.value || null;
  const one = box.querySelector(`[name="${name}"]`);
  return one && one.value.trim() ? one.value : null;
}

// What an answer still wants, in words; nothing while its other half is being given.
export function wantedOf(box, expected) {
  if (answerOf(box) !== undefined) return expected;
  return box.contains(document.activeElement) ? "" : HALVES[box.dataset.kind] ?? expected;
}

export function showFault(box, expected) {
  const says = expected ? say("{label}: expected {wanted}", { label: labelOf(box), wanted: expected }) : "";
  mark(box, says);
}

function labelOf(box) {
  return box.querySelector(".label")?.firstChild?.textContent.trim() ?? "";
}

function mark(box, says) {
  const line = box.querySelector(".error");
  line.textContent = says;
  line.hidden = !says;
  box.querySelector(".clash")?.remove();
  box.classList.toggle("field-error", Boolean(says));
  for (const one of box.querySelectorAll("input, select")) {
    if (says) one.setAttribute("aria-invalid", "true");
    else one.removeAttribute("aria-invalid");
  }
}

// Two devices answered differently: both values are shown, and one tap takes either.
export function offerBoth(box, told, keepMine) {
  const name = box.dataset.q;
  const theirs = told.clashes[name];
  mark(box, say("{label}: meanwhile {theirs} was saved from another device. Yours is not saved.", { label: labelOf(box), theirs }));
  const row = document.createElement("p");
  row.className = "clash";
  const button = (words, act) => {
    const one = document.createElement("button");
    one.type = "button";
    one.className = "button";
    one.textContent = words;
    one.addEventListener("click", act);
    row.append(one);
  };
  button(say("Take {theirs}", { theirs }), () => {
    put(box, told.boxes[name] ?? {});
    mark(box, "");
  });
  button(say("Keep mine"), keepMine);
  box.querySelector(".error").after(row);
}

// Fills a question's boxes with a stored answer: end of the input's name -> what stands in it.
export function put(box, held) {
  const name = box.dataset.q;
  for (const one of box.querySelectorAll("input, select")) {
    const end = one.name.slice(name.length);
    const stands = held[end] ?? "";
    if (one.type === "radio") one.checked = one.value === stands;
    else one.value = stands;
    one.dispatchEvent(new Event("shown", { bubbles: true }));
  }
  box.dataset.chosen = held[""] ?? "";
  const excuse = box.querySelector(".excuse");
  if (excuse && held["-said"]) excuse.open = true;
}

export function offerChips(box, changed) {
  const chips = box.querySelector(".chips");
  if (!chips) return;
  chips.hidden = false;
  // Whoever types keeps the keyboard; whoever only taps is not given one.
  chips.addEventListener("mousedown", (press) => press.preventDefault());
  chips.addEventListener("click", (press) => {
    const chip = press.target.closest(".chip");
    if (!chip) return;
    const input = box.querySelector(`[name="${box.dataset.q}"]`);
    input.value = chip.textContent;
    changed();
  });
}

// A date is mostly today's.
export function offerToday(box, changed) {
  const date = box.querySelector('input[type="date"]');
  if (!date) return;
  const chip = document.createElement("button");
  chip.type = "button";
  chip.className = "chip";
  chip.textContent = say("Today");
  chip.addEventListener("click", () => {
    date.value = today();
    changed();
  });
  date.after(chip);
}

// Opened over an empty box it says nothing yet: not that there was a measurement either.
export function offerExcuse(box) {
  const fold = box.querySelector(".excuse");
  if (!fold) return;
  const look = () => {
    const said = fold.querySelector('input[type="radio"]:checked')?.value;
    const empty = ![...box.querySelectorAll(".box > input")].some((one) => one.value.trim());
    if (!said) fold.querySelector('input[value=""]').checked = !(fold.open && empty);
  };
  fold.addEventListener("toggle", look);
  box.addEventListener("shown", look);
}

// A number typed again is a measured one: the excuse falls away.
export function typedAgain(box) {
  const measured = box.querySelector(`input[name="${box.dataset.q}-said"][value=""]`);
  if (measured) measured.checked = true;
}
