// A section that judges while one types. Without this script the same form works by its button.

import { offerEighths } from "./eighths.js";
import { answerOf, offerChips, offerBoth, offerToday, put, showFault, typedAgain } from "./fields.js";
import { judge } from "./judge.js";
import { sender } from "./sending.js";
import { unsent } from "./unsent.js";

const PATIENCE_MS = 4000;

const form = document.querySelector("form[data-answers]");
const secret = document.querySelector('meta[name="csrf-token"]').content;
const saved = form.querySelector("[data-saved]");
const revisionBox = form.elements.revision;
const more = form.querySelector("details.more");
const boxes = new Map([...form.querySelectorAll("[data-q]")].map((box) => [box.dataset.q, box]));

const tab = unsent(form);
const outgoing = sender(post, show, say, tab.keep);

function post(changes, parting, alone) {
  const unread = [...boxes.keys()].filter((name) => boxes.get(name).classList.contains("field-error"));
  const wish = { changes, revision: alone ? null : Number(revisionBox.value), section: form.dataset.section, unread };
  return judge(form.dataset.answers, wish, secret, parting);
}

document.documentElement.classList.add("scripted");
say("saved");

for (const box of boxes.values()) {
  const chosen = box.querySelector(`input[type="radio"][name="${box.dataset.q}"]:checked`);
  box.dataset.chosen = chosen ? chosen.value : "";
  offerChips(box, () => note(box));
  offerToday(box, () => note(box));
  offerEighths(box, () => {
    typedAgain(box);
    note(box);
  });
  box.addEventListener("input", (event) => {
    if (event.target.closest(".box")) typedAgain(box);
    note(box);
  });
  box.addEventListener("change", () => note(box));
  box.addEventListener("click", (press) => clearOnSecondTap(box, press));
}

for (const name of tab.restore(boxes)) note(boxes.get(name));

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
  outgoing.add(box.dataset.q, answer);
}

function say(text, bad = false) {
  saved.textContent = text;
  saved.toggleAttribute("data-bad", bad);
}

function show(told, sent) {
  revisionBox.value = Math.max(told.revision, Number(revisionBox.value));
  for (const name of sent.keys()) {
    const box = boxes.get(name);
    if (!box || outgoing.holds(name)) continue;
    if (told.clashes[name] === undefined) showFault(box, told.errors[name] ?? "");
    else offerBoth(box, told, () => outgoing.add(name, answerOf(box) ?? null));
  }
  fromElsewhere(told, sent);
  form.elements.seen.value = told.seen;
  const keep = inSight(document.activeElement);
  for (const [name, box] of boxes) {
    const wanted = told.asked[name];
    const held = box.contains(document.activeElement);
    const spare = told.spare.includes(name);
    const cameUp = box.hidden;
    if (wanted && spare && box.hidden) more.querySelector(".questions").append(box);
    // What is needed after all comes out of the fold: the others in it may still stay empty.
    if (wanted && !spare && more.contains(box) && answerOf(box) === null && !held) more.before(box);
    if (wanted || !held) box.hidden = !wanted && !box.classList.contains("field-error");
    swap(box.querySelector("[data-said]"), under(told, name));
    const fold = box.closest("details.group");
    if (fold && cameUp && wanted && !spare && answerOf(box) === null) fold.open = true;
  }
  openInTurn(told);
  for (const group of form.querySelectorAll("[data-group]")) group.hidden = !group.querySelector(".q:not([hidden])");
  const folded = more.querySelectorAll(".q:not([hidden])").length;
  more.hidden = !folded;
  more.querySelector("[data-more-count]").textContent = folded;
  offerUsual(told.usual);
  swap(form.querySelector("[data-section-html]"), told.sections[form.dataset.section]);
  swap(document.querySelector("[data-hazard]"), told.hazard);
  for (const one of form.querySelectorAll("[data-count]")) one.textContent = told.counts[one.dataset.count];
  for (const one of document.querySelectorAll("[data-way]")) one.hidden = !told.order.includes(one.dataset.way);
  form.querySelector("[data-onward]").textContent = told.onward;
  for (const one of document.querySelectorAll("[data-tally]")) swap(one, told.tallies[one.dataset.tally]);
  keep();
  if (!outgoing.idle) return;
  const time = new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
  const marked = form.querySelectorAll(".field-error").length;
  say(`saved ${time}${marked ? `, but not the ${marked} marked above` : ""}`, marked > 0);
}

// What is worked at stays in sight when something comes up over it.
function inSight(held) {
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
function openInTurn(told) {
  const wants = (box) => told.asked[box.dataset.q] && !told.spare.includes(box.dataset.q) && answerOf(box) === null;
  const next = [...form.querySelectorAll("[data-group]")].find((group) => [...group.querySelectorAll("[data-q]")].some(wants));
  if (next) next.open = true;
}

// What another device saved meanwhile takes the place of what this page still showed, unless it was typed in here.
function fromElsewhere(told, sent) {
  const before = JSON.parse(form.elements.seen.value);
  const now = JSON.parse(told.seen);
  for (const [name, box] of boxes) {
    if (sent.has(name) || outgoing.holds(name) || box.classList.contains("field-error")) continue;
    if (JSON.stringify(before[name]) !== JSON.stringify(now[name])) put(box, told.boxes[name] ?? {});
  }
}

function offerUsual(usual) {
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

function swap(place, html) {
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

// A link to a question opens what it is folded into.
function unfold() {
  const question = location.hash.startsWith("#q-") && document.getElementById(location.hash.slice(1));
  for (let fold = question && question.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  if (question) question.focus();
}
unfold();
window.addEventListener("hashchange", unfold);

window.addEventListener("online", () => outgoing.now());
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "hidden") outgoing.part();
});
window.addEventListener("pagehide", () => outgoing.part());

// The form goes once what was typed is saved or cannot be: a parcel of our own must not look like another device's.
form.addEventListener("submit", async (going) => {
  if (outgoing.idle) return;
  going.preventDefault();
  await Promise.race([outgoing.flush(), new Promise((enough) => setTimeout(enough, PATIENCE_MS))]);
  // With no connection the page stays, and with it what was typed.
  if (!outgoing.idle && !navigator.onLine) return;
  outgoing.leave();
  form.requestSubmit(going.submitter);
});
