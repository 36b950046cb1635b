// The tank's drawing beside the strap heights: a tap on it puts the nearest strap there, buttons move it, and the
// boxes stay the equal way. The drawing itself comes from the judge and is the paper's own.

import { say } from "./say.js";
import { asTaped, inches } from "./tape.js";

const QUESTION = "strap_heights_in";
const STEP = 0.5;
// Nearer than this to the tank's ends a tap means the end.
const SLACK = 3;
// With one strap on the tank, a tap farther off than this part of its height means a second one.
const ANOTHER = 1 / 6;
const LIFTED = ["pointerup", "pointercancel"];
const SVG = "http://www.w3.org/2000/svg";

function made(tag, kind, text = "") {
  const one = document.createElement(tag);
  one.className = kind;
  one.textContent = text;
  return one;
}

export function offerStraps(box, changed) {
  if (box.dataset.q !== QUESTION) return;
  const means = box.closest("form")?.querySelector("[data-section-html]");
  if (!means) return;
  const boxes = [...box.querySelectorAll(".boxes input")];
  const stage = made("div", "strap-stage");
  const place = made("div", "strap-place");
  const rows = made("div", "strap-rows");
  const says = made("p", "hidden-words");
  says.setAttribute("role", "status");
  stage.hidden = true;
  stage.append(made("p", "hint", say("Tap the tank where a strap is; then set it to the tape.")), place, rows, says);
  box.querySelector("fieldset").after(stage);

  const readable = () => boxes.every((one) => !one.value.trim() || inches(one.value) !== null);
  const straps = () => boxes.map((one) => ({ box: one, at: one.value.trim() ? inches(one.value) : null })).filter((one) => one.at !== null);
  const scale = () => {
    const told = place.querySelector("[data-straps]")?.dataset;
    return told && Object.fromEntries(["floor", "scale", "base", "top", "left", "right"].map((name) => [name, Number(told[name])]));
  };

  function nameOf(at, all) {
    if (all === 1) return say("Strap");
    return all === 2 ? [say("Lower strap"), say("Upper strap")][at] : say("Strap {number}", { number: at + 1 });
  }

  // Lowest first, as they are asked; what cannot be read here is not moved about.
  function settle(at) {
    if (readable()) {
      const heights = straps().map((one) => one.at).sort((a, b) => a - b);
      for (const [n, one] of boxes.entries()) one.value = n < heights.length ? asTaped(heights[n]) : "";
    }
    show();
    const all = straps();
    ghosts(all);
    const which = all.findIndex((one) => one.at === at);
    says.textContent = at === null ? say("Strap taken away.") : say("{name} at {inches} inches.", { name: nameOf(which, all.length), inches: asTaped(at) });
    changed();
  }

  function bounded(at) {
    const { base, top } = scale();
    return Math.min(Math.max(at, base), top);
  }

  function put(at) {
    const all = straps();
    const nearest = all.reduce((best, one) => (!best || Math.abs(one.at - at) < Math.abs(best.at - at) ? one : best), null);
    const { base, top } = scale();
    const free = boxes.find((one) => !one.value.trim());
    const another = !nearest || (all.length === 1 && Math.abs(nearest.at - at) > (top - base) * ANOTHER);
    const goal = another && free ? free : nearest?.box;
    if (!goal) return;
    goal.value = asTaped(at);
    settle(at);
  }

  function step(n, by) {
    const one = straps()[n];
    if (!one) return;
    const at = bounded(one.at + by);
    one.box.value = asTaped(at);
    settle(at);
  }

  function press(words, act) {
    const one = made("button", "chip", words);
    one.type = "button";
    one.addEventListener("click", act);
    return one;
  }

  function row(n) {
    const one = made("div", "strap-row");
    one.append(
      made("p", "strap-name"),
      press("\u22121/2", () => step(n, -STEP)),
      press("+1/2", () => step(n, STEP)),
      press(say("Remove"), () => {
        straps()[n].box.value = "";
        settle(null);
        (rows.querySelector("button") ?? boxes[0]).focus({ preventScroll: true });
      }),
    );
    return one;
  }

  // The rows stay as they are while their number does: a button that is pressed keeps the focus.
  function show() {
    const all = straps();
    while (rows.children.length > all.length) rows.lastElementChild.remove();
    while (rows.children.length < all.length) rows.append(row(rows.children.length));
    for (const [n, one] of all.entries()) {
      const name = nameOf(n, all.length);
      const [words, less, more, away] = rows.children[n].children;
      words.textContent = `${name} ${asTaped(one.at)} in`;
      less.setAttribute("aria-label", say("\u22121/2 inch, {name}", { name: name.toLowerCase() }));
      more.setAttribute("aria-label", say("+1/2 inch, {name}", { name: name.toLowerCase() }));
      away.setAttribute("aria-label", say("Remove the {name}", { name: name.toLowerCase() }));
    }
  }

  // What was moved shows at once, as an outline, until the judge has drawn it.
  function ghosts(all) {
    const told = scale();
    const svg = place.querySelector("svg");
    if (!told || !svg) return;
    for (const one of svg.querySelectorAll(".placed")) one.remove();
    for (const { at } of all) {
      const one = document.createElementNS(SVG, "rect");
      const [x, width, y] = [told.left, told.right - told.left, told.floor - at * told.scale - 4];
      for (const [name, value] of Object.entries({ class: "placed", x, y, width, height: 8 })) one.setAttribute(name, value);
      svg.append(one);
    }
  }

  place.addEventListener("click", (tap) => {
    const svg = place.querySelector("svg");
    const told = scale();
    if (!svg || !told || boxes[0].disabled) return;
    const seen = svg.getBoundingClientRect();
    // A click is told in whole pixels: the middle of its pixel is meant.
    const y = ((tap.clientY + 0.5 - seen.top) / seen.height) * svg.viewBox.baseVal.height;
    const at = (told.floor - y) / told.scale;
    if (at < told.base - SLACK || at > told.top + SLACK) return;
    put(bounded(Math.round(at / STEP) * STEP));
  });
  box.addEventListener("input", show);
  for (const one of boxes) one.addEventListener("shown", show);

  // A tap whose drawing is replaced before the finger lifts would be lost.
  let pressed = false;
  let waits = false;
  function lifted() {
    for (const end of LIFTED) removeEventListener(end, lifted);
    pressed = false;
    if (waits) setTimeout(take);
  }
  place.addEventListener("pointerdown", () => {
    pressed = true;
    for (const end of LIFTED) addEventListener(end, lifted);
  });

  // The drawing stands at its boxes: moved there each time the judge has drawn it anew.
  const seen = new MutationObserver(take);
  function take() {
    waits = pressed;
    if (pressed) return;
    const figure = means.querySelector("figure[data-straps]");
    if (figure && !box.hidden) place.replaceChildren(figure);
    else if (means.firstChild) place.replaceChildren();
    seen.takeRecords();
    stage.hidden = !place.firstChild;
    show();
  }
  seen.observe(means, { childList: true });
  take();
}
