// Puts on a section's page what its answers mean now: verdicts under fields, what is asked, counts, the way on.

import { showCounts } from "./counts.js";
import { answerOf } from "./fields.js";

// form   the section's form
// boxes  question -> its field
// told   what the door told for this section
export function showTold(form, boxes, told) {
  const keep = inSight(form, document.activeElement);
  const more = form.querySelector("details.more");
  for (const [name, box] of boxes) placeOne(box, more, told, name);
  openInTurn(form, told);
  for (const group of form.querySelectorAll("[data-group]")) group.hidden = !group.querySelector(".q:not([hidden])");
  const folded = more.querySelectorAll(".q:not([hidden])").length;
  more.hidden = !folded;
  more.querySelector("[data-more-count]").textContent = folded;
  offerUsual(form, told.usual);
  swap(form.querySelector("[data-section-html]"), told.sections[form.dataset.section]);
  swap(document.querySelector("[data-hazard]"), told.hazard);
  showCounts(form, told.counts);
  for (const one of document.querySelectorAll("[data-way]")) one.hidden = !told.order.includes(one.dataset.way);
  form.querySelector("[data-onward]").textContent = told.onward;
  for (const one of document.querySelectorAll("[data-tally]")) swap(one, told.tallies[one.dataset.tally]);
  keep();
}

function placeOne(box, more, told, name) {
  const wanted = told.asked[name];
  const held = box.contains(document.activeElement);
  const spare = told.spare.includes(name);
  const cameUp = box.hidden;
  if (wanted && spare && box.hidden) more.querySelector(".questions").append(box);
  // What is needed after all comes out of the fold: the others in it may still stay empty.
  if (wanted && !spare && more.contains(box) && answerOf(box) === null && !held) (box.anchor ?? more).before(box);
  if (wanted || !held) box.hidden = !wanted && !box.classList.contains("field-error");
  swap(box.querySelector("[data-said]"), under(told, name));
  const fold = box.closest("details.group");
  if (fold && cameUp && wanted && !spare && answerOf(box) === null) fold.open = true;
}

// What is worked at stays in sight when something comes up over it.
export function inSight(form, held) {
  const strip = form.querySelector("[data-strip]");
  const seen = () => {
    const place = (held.closest(".pick") ?? held).getBoundingClientRect();
    return place.top >= 0 && place.bottom <= strip.getBoundingClientRect().top;
  };
  const before = form.contains(held) && !strip.contains(held) && seen();
  return () => {
    if (before && !seen()) held.scrollIntoView({ block: "nearest" });
  };
}

// Headings that wait open once everything before them is answered.
function openInTurn(form, told) {
  const wants = (box) => told.asked[box.dataset.q] && !told.spare.includes(box.dataset.q) && answerOf(box) === null;
  const next = [...form.querySelectorAll("[data-group]")].find((group) => [...group.querySelectorAll("[data-q]")].some(wants));
  if (next) next.open = true;
}

function offerUsual(form, usual) {
  const button = form.querySelector("[data-usual-button]");
  const list = form.querySelector("[data-usual]");
  button.hidden = list.hidden = !usual.length;
  button.querySelector("[data-usual-count]").textContent = usual.length;
  list.querySelector("ul").replaceChildren(
    ...usual.map(([label, value]) => {
      const line = document.createElement("li");
      const strong = document.createElement("b");
      strong.textContent = value;
      line.append(`${label}: `, strong);
      return line;
    }),
  );
}

function under(told, name) {
  const flag = told.flags[name];
  if (!flag) return told.said[name] ?? "";
  const line = document.createElement("p");
  line.className = "flag";
  line.textContent = flag;
  return (told.said[name] ?? "") + line.outerHTML;
}

export function swap(place, html) {
  if (!place || place.dataset.now === html) return;
  // The count in a fold's name may change while it stands open.
  const name = (one) => one.textContent.replace(/\d+/g, "");
  const open = new Set([...place.querySelectorAll("details[open] > summary")].map(name));
  place.innerHTML = html ?? "";
  place.dataset.now = html ?? "";
  for (const one of place.querySelectorAll("details > summary")) {
    if (open.has(name(one))) one.parentElement.open = true;
  }
}
