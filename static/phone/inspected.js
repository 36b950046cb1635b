// What the inspector asked for, on a second visit: told on the first page and at the review, and again at the question
// and the finding that each item is about. It is as the office had it when the job came to this phone.

import { say } from "../say.js";
import { clock } from "./drafts.js";

const text = (one) => (typeof one === "string" ? one : "");

function itemsOf(draft) {
  const items = draft.inspected?.items;
  return Array.isArray(items) ? items.filter((one) => text(one?.says)) : [];
}

// The whole list, each item with a way to its question; null where nothing was asked for.
export function asList(draft) {
  const items = itemsOf(draft);
  if (!items.length) return null;
  const part = document.createElement("section");
  part.className = "stack stack-tight phone-inspected";
  part.setAttribute("aria-labelledby", "asked-for");
  const head = Object.assign(document.createElement("h2"), { id: "asked-for", textContent: say("What the inspector asked for") });
  const list = Object.assign(document.createElement("ol"), { className: "lines" });
  list.append(...items.map((one) => lineOf(draft, one)));
  const when = { day: text(draft.inspected.on), time: clock(draft.inspected.taken_at) };
  const says = say("Inspection of {day}, as the office had it {time}. What is mended is said to the office, or on line at this job's review.", when);
  part.append(head, list, Object.assign(document.createElement("p"), { className: "quiet", textContent: says }));
  return part;
}

function lineOf(draft, { says, section, question, mended }) {
  const line = document.createElement("li");
  if (text(section) && text(question)) {
    line.append(Object.assign(document.createElement("a"), { className: "line-link", href: `#/${draft.id}/${section}/${question}`, textContent: says }));
  } else {
    line.append(says);
  }
  if (mended) line.append(" ", Object.assign(document.createElement("b"), { className: "verdict-meets", textContent: say("Mended") }));
  return line;
}

// Above the verdicts of the question that each open item is about.
export function atQuestions(draft, boxes) {
  for (const { says, question, mended } of itemsOf(draft)) {
    if (!mended) boxes.get(question)?.querySelector("[data-said]")?.before(wordsOf(says));
  }
}

// Under each finding of a review that an open item is about.
export function atFindings(draft, review) {
  for (const { says, check, mended } of itemsOf(draft)) {
    if (!mended && text(check)) review.querySelector(`#check-${CSS.escape(check)}`)?.prepend(wordsOf(says));
  }
}

function wordsOf(says) {
  const words = Object.assign(document.createElement("p"), { className: "phone-asked" });
  words.append(Object.assign(document.createElement("b"), { textContent: say("The inspector asked:") }), " ", says);
  return words;
}
