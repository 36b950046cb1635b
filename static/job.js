// A section that judges while one types. Without this script the same form works by its button.

import { decorate } from "./decorate.js";
import { answerOf, offerBoth, put, showFault, wantedOf } from "./fields.js";
import { judge } from "./judge.js";
import { say } from "./say.js";
import { sender } from "./sending.js";
import { inSight, showTold } from "./showing.js";
import { goByTheFirm } from "./today.js";
import { unsent } from "./unsent.js";

const PATIENCE_MS = 4000;

const form = document.querySelector("form[data-answers]");
const secret = document.querySelector('meta[name="csrf-token"]').content;
const saved = form.querySelector("[data-saved]");
const revisionBox = form.elements.revision;
const boxes = new Map([...form.querySelectorAll("[data-q]")].map((box) => [box.dataset.q, box]));

const tab = unsent(form);
const outgoing = sender(post, show, tell, tab.keep);

function post(changes, parting, alone) {
  const unread = [...boxes.keys()].filter((name) => boxes.get(name).classList.contains("field-error"));
  const wish = { changes, revision: alone ? null : Number(revisionBox.value), section: form.dataset.section, unread };
  return judge(form.dataset.answers, wish, secret, parting);
}

document.documentElement.classList.add("scripted");
goByTheFirm({ firm: { time_zone: form.dataset.zone } });
tell(say("saved"));

for (const box of boxes.values()) {
  decorate(box, note);
  // What is left half said is told once one has gone on from it.
  box.addEventListener("focusout", (going) => {
    if (answerOf(box) === undefined && !box.contains(going.relatedTarget)) setTimeout(() => note(box));
  });
}

for (const name of tab.restore(boxes)) note(boxes.get(name));

function note(box) {
  // Half an answer is sent too: it is told what it still wants, and no verdict rests on the answer before.
  outgoing.add(box.dataset.q, answerOf(box, (part) => part));
}

function tell(text, bad = false) {
  saved.textContent = text;
  saved.toggleAttribute("data-bad", bad);
}

function show(told, sent) {
  const keep = inSight(form, document.activeElement);
  revisionBox.value = Math.max(told.revision, Number(revisionBox.value));
  for (const name of sent.keys()) {
    const box = boxes.get(name);
    if (!box || outgoing.holds(name)) continue;
    if (told.clashes[name] === undefined) showFault(box, told.errors[name] ? wantedOf(box, told.errors[name]) : "");
    else offerBoth(box, told, () => outgoing.add(name, answerOf(box) ?? null));
  }
  fromElsewhere(told, sent);
  form.elements.seen.value = told.seen;
  showTold(form, boxes, told);
  keep();
  if (!outgoing.idle) return;
  const time = new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
  const marked = form.querySelectorAll(".field-error").length;
  const half = [...boxes.values()].some((box) => answerOf(box) === undefined);
  const but = marked ? say("saved {time}, but not the {marked} marked above", { time, marked }) : half ? say("saved {time}, but not what is only half said", { time }) : "";
  tell(but || say("saved {time}", { time }), Boolean(but));
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
