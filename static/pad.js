// Keys for wet thumbs under the box that is typed in: eighths of an inch, one more and one less, and large digits
// for whoever wants them in place of the phone's own keyboard. The box stays a plain text box.

import { EIGHTHS, erased, stepped, turned, withDigit, withEighth } from "./eighths.js";
import { nextBox } from "./onward.js";
import { say } from "./say.js";

const LARGE = "keys";
const STEPPED = new Set(["in", "psi"]);

const pad = document.createElement("div");
pad.className = "pad";
pad.setAttribute("role", "toolbar");
let box = null;
let tell = () => {};

function key(words, name, act, kind = "") {
  const button = document.createElement("button");
  button.type = "button";
  button.className = `chip ${kind}`.trim();
  button.textContent = words;
  if (name) button.setAttribute("aria-label", name);
  button.tabIndex = -1;
  button.addEventListener("click", () => act(button));
  return button;
}

function writes(make) {
  return () => {
    box.value = make(box.value);
    tell();
  };
}

function row(kind, name, keys) {
  const one = document.createElement("div");
  one.className = kind;
  one.setAttribute("role", "group");
  one.setAttribute("aria-label", name);
  one.append(...keys);
  return one;
}

function types({ text, at }) {
  box.value = text;
  box.setSelectionRange(at, at);
  tell();
}

function digit(word) {
  return key(word, "", () => types(withDigit(box.value, box.selectionStart, box.selectionEnd, word)));
}

function erase() {
  types(erased(box.value, box.selectionStart, box.selectionEnd));
}

function onward() {
  const next = nextBox(box);
  if (next) next.focus();
  else box.blur();
}

function wantsLarge() {
  try {
    return localStorage.getItem(LARGE) === "large";
  } catch {
    return false;
  }
}

function turnLarge(button) {
  const large = !wantsLarge();
  try {
    localStorage.setItem(LARGE, large ? "large" : "phone");
  } catch {
    // A browser that may keep nothing keeps its own keyboard.
    return;
  }
  for (const one of document.querySelectorAll("input[data-pad]")) mode(one);
  const focused = document.activeElement === box;
  drawn = "";
  draw(box.closest("[data-q]"));
  if (!focused) pad.querySelector(".key-size").focus();
  // The phone looks at what keyboard is wanted when a box is entered.
  else if (button) {
    box.blur();
    box.focus({ preventScroll: true });
  }
}

function mode(input) {
  input.inputMode = wantsLarge() ? "none" : "decimal";
}

let drawn = "";

function draw(question) {
  const unit = unitOf(box);
  const sizes = unit === "in" && question.dataset.sizes?.split("|");
  const chips = question.querySelector(".chips");
  const signed = "signed" in question.dataset;
  const large = wantsLarge();
  const shape = [unit, sizes, Boolean(chips), signed, large].join("/");
  pad.setAttribute("aria-label", say("Keys for {label}", { label: question.querySelector(".label")?.firstChild?.textContent.trim() ?? say("this box") }));
  if (shape === drawn) return;
  drawn = shape;
  const rows = [];
  if (large) rows.push(row("digits", say("Digits"), [..."1234567890"].map(digit)));
  if (sizes && !chips) rows.push(row("eighths", say("Usual sizes, in inches"), sizes.map((size) => key(size, "", writes(() => size)))));
  if (unit === "in" && !sizes) rows.push(row("eighths", say("Eighths of an inch"), EIGHTHS.map((one) => key(one, one === EIGHTHS[0] ? say("{number}, no fraction", { number: one }) : "", writes((typed) => withEighth(typed, one))))));
  const whole = unit === "in" ? say("inch") : unit;
  const keys = [];
  if (!sizes) keys.push(key("\u22121", `\u22121 ${whole}`, writes((typed) => stepped(typed, -1, signed))), key("+1", `+1 ${whole}`, writes((typed) => stepped(typed, 1, signed))));
  if (signed) keys.push(key("+/\u2212", say("+/\u2212 change the sign"), writes(turned)));
  if (large) keys.push(key(say("Erase"), "", erase), key(say("Next"), say("Next box"), onward));
  keys.push(key(large ? say("Phone keys") : say("Large keys"), "", turnLarge, "key-size"));
  rows.push(row("steps", say("One more, one less, other keys"), keys));
  pad.replaceChildren(...rows);
  pad.querySelector("button").tabIndex = 0;
}

function unitOf(input) {
  return input.parentElement.querySelector(".unit")?.textContent ?? "";
}

// One stop for a keyboard; the arrows go from key to key.
pad.addEventListener("keydown", (press) => {
  const keys = [...pad.querySelectorAll("button")];
  const at = keys.indexOf(document.activeElement);
  const to = { ArrowRight: at + 1, ArrowDown: at + 1, ArrowLeft: at - 1, ArrowUp: at - 1, Home: 0, End: keys.length - 1 }[press.key];
  if (at < 0 || to === undefined) return;
  press.preventDefault();
  const next = keys[(to + keys.length) % keys.length];
  keys[at].tabIndex = -1;
  next.tabIndex = 0;
  next.focus();
});

// The box keeps the focus, and with it the phone's keyboard.
for (const down of ["pointerdown", "mousedown"]) pad.addEventListener(down, (press) => press.preventDefault());

// Nothing moves under the thumb: what the pad takes away above the box it is put to is scrolled away with it.
function place(input) {
  const after = lastBefore(input);
  if (after.nextElementSibling === pad) return;
  const before = input.getBoundingClientRect().top;
  after.after(pad);
  const moved = input.getBoundingClientRect().top - before;
  if (moved) window.scrollBy(0, moved);
}

// After the excuse, which stays where it was when the pad comes.
function lastBefore(input) {
  const question = input.closest("[data-q]");
  return question.querySelector(".excuse") ?? question.querySelector(".chips") ?? input.closest(".boxes") ?? input.parentElement;
}

function show(question, input, changed) {
  box = input;
  tell = changed;
  draw(question);
  place(input);
}

// The pad leaves a question only when another box that wants one is typed in.
export function offerPad(question, changed) {
  const wants = (input) => input.matches(".box > input") && (STEPPED.has(unitOf(input)) || "signed" in question.dataset);
  const inputs = [...question.querySelectorAll(".box > input")].filter(wants);
  // Sizes that stand beside the box already leave nothing to step to.
  if (question.dataset.sizes && question.querySelector(".chips")) return;
  for (const one of inputs) {
    one.dataset.pad = "";
    mode(one);
    one.addEventListener("focus", () => show(question, one, changed));
  }
  question.querySelector(".chips")?.addEventListener("click", () => {
    if (inputs.length) show(question, inputs[0], changed);
  });
}
